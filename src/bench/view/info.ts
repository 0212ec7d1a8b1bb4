import { looseStatus, runsOut } from '../../aircraft/status.ts';
import { labelIn } from '../../job/labels.ts';
import type { JobState } from '../../job/state.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { mark, paragraphRows, span, type Row, type Style } from '../drawing/rows.ts';
import { valuesOfStep } from '../parts/parts.ts';
import { jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { stepsNow } from '../steps-now.ts';
import type { InfoPage } from '../session/state.ts';
import { clocksOf } from './clocks.ts';
import { entriesText } from './entries.ts';
import { gateText } from './gate.ts';
import { limitsText } from './limits.ts';
import { personName } from './job.ts';
import { labelled, title, type Canvas } from './page.ts';
import { revisionText } from './revision.ts';

const none = (words: string): readonly Row[] => [[mark(words, 'quiet')]];

const stepsText = (job: JobState, { width, marks }: Canvas): readonly Row[] =>
  stepsNow(job).steps.flatMap(({ step, is }, index) => {
    const skip = stepStateOf(job, step.step).skip;
    const [sign, word, style]: readonly [string, string, Style] =
      is === 'left'
        ? [marks.left, `left for later, ${skip?.tag ?? ''}`, 'person']
        : is === 'not-done'
          ? [marks.not, 'not done', 'outside']
          : is === 'done'
            ? [marks.driven, 'finished', 'order']
            : is === 'open'
              ? [marks.open, 'open', 'strong']
              : [
                  step.hold ? marks.holdShut : step.permanent ? marks.permanentOpen : marks.todo,
                  step.hold
                    ? step.hold.kind === 'hold'
                      ? 'hold point'
                      : 'witness point'
                    : step.permanent
                      ? 'permanent'
                      : '',
                  'plain',
                ];
    return paragraphRows(`${sign} ${index + 1} ${step.title}${word === '' ? '' : `: ${word}`}`, width, style, 4);
  });

const looseText = (facts: BenchFacts, width: number): readonly Row[] => {
  const loose = looseStatus(facts.build);
  if (loose.length === 0) return none('nothing is left loose');
  return [...new Set(loose.map((one) => one.before))].flatMap((gate) => [
    [span(`before ${gate}`, 'strong')] as Row,
    ...loose
      .filter((one) => one.before === gate)
      .flatMap((one) =>
        paragraphRows(`  ${one.tag} ${one.item}: ${one.open} open, ${one.left} (${one.job})`, width, 'person', 4),
      ),
  ]);
};

const departuresText = (job: JobState, facts: BenchFacts, width: number): readonly Row[] =>
  job.departures.length === 0
    ? none('none')
    : job.departures.flatMap((one, index) => [
        ...labelled(`${index + 1} manual says`, one.says, width, 'plain', 15),
        ...labelled('  I did', one.did, width, 'plain', 15),
        ...labelled('  because', one.because, width, 'plain', 15),
        ...labelled(
          '  by',
          `${personName(facts, one.by)}${one.agreed === undefined ? '' : `, agreed: ${one.agreed}`}`,
          width,
          'quiet',
          15,
        ),
      ]);

const findingsText = (job: JobState, facts: BenchFacts, width: number): readonly Row[] =>
  job.findings.length === 0
    ? none('none')
    : job.findings.flatMap((finding) => [
        ...paragraphRows(
          `${finding.number} ${finding.text} (${personName(facts, finding.person)})`,
          width,
          finding.closed ? 'plain' : 'person',
          2,
        ),
        ...finding.answers.flatMap((answer) => paragraphRows(`  answered: ${answer.remark}`, width, 'plain', 4)),
        ...(finding.closed ? none('  closed') : []),
      ]);

const valuesText = (job: JobState, facts: BenchFacts, canvas: Canvas): readonly Row[] => {
  const here = jobNow(facts, job);
  const rows = job.plan.steps.flatMap((step) => {
    const values = valuesOfStep(here, step, canvas);
    return values.length === 0 ? [] : [[span(step.title, 'quiet')] as Row, ...values];
  });
  const struck = job.struck.map(({ entry, type, value, reason }): Row => {
    const found = Object.entries(job.tries).find(([, tries]) => tries.some((one) => one.entry === entry))?.[0];
    const reading = found === undefined ? undefined : labelIn(job.plan, found);
    return [mark('struck ', 'quiet'), span(`${reading ?? type} ${value}: ${reason}`, 'quiet')];
  });
  return rows.length === 0 ? none('nothing entered yet') : [...rows, ...struck];
};

const clocksText = (facts: BenchFacts, job: JobState | undefined): readonly Row[] => {
  const clocks = clocksOf(facts, job);
  const out = runsOut(facts.build);
  return [
    ...(clocks.length === 0
      ? none('no pot life and no cure runs')
      : clocks.map((clock): Row => [span(clock.words, clock.style)])),
    ...(out.length === 0
      ? []
      : [[mark('Good until', 'strong')] as Row, ...out.map((one): Row => [span(`  ${one.day} ${one.what}`)])]),
  ];
};

const titles: Readonly<Record<InfoPage, string>> = {
  steps: 'Steps of this job',
  values: 'Values',
  entries: 'Entries, newest first',
  limits: 'Limits, exact',
  loose: 'Loose items by gate',
  gate: 'Gate sheet',
  departures: 'Departures',
  findings: 'Findings',
  clocks: 'What runs',
  revision: 'The new page',
  keys: 'Keys',
  cautions: 'Cautions',
};

/** The text of a page that only shows something. */
export const infoText = (
  page: InfoPage,
  facts: BenchFacts,
  job: JobState | undefined,
  canvas: Canvas,
): readonly Row[] => {
  const ofJob = (make: (job: JobState) => readonly Row[]): readonly Row[] => (job ? make(job) : []);
  const { width } = canvas;
  const rows: Partial<Record<InfoPage, () => readonly Row[]>> = {
    steps: () => ofJob((one) => stepsText(one, canvas)),
    values: () => ofJob((one) => valuesText(one, facts, canvas)),
    entries: () => ofJob((one) => entriesText(facts, one, canvas)),
    limits: () => ofJob((one) => limitsText(facts, one, canvas)),
    loose: () => looseText(facts, width),
    gate: () => gateText(facts, job, canvas),
    departures: () => ofJob((one) => departuresText(one, facts, width)),
    findings: () => ofJob((one) => findingsText(one, facts, width)),
    clocks: () => clocksText(facts, job),
    revision: () => ofJob((one) => revisionText(facts, one, canvas)),
  };
  return [...title(titles[page], width), ...(rows[page]?.() ?? [])];
};
