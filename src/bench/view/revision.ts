import type { ChangeImpact, JobImpact } from '../../aircraft/impact.ts';
import type { JobState } from '../../job/state.ts';
import { planFor, stepOf } from '../../procedure/plan.ts';
import { asksSomething, decidedWords, meaningTones, meaningWords } from '../../report/impact.ts';
import { withSide } from '../../report/side.ts';
import { blank, mark, pad, paragraphRows, span, type Row, type Style } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import { impactsOf, newPageFor } from '../session/new-page.ts';
import { labelled, marked, title, type Canvas } from './page.ts';

/** From this many columns on (a terminal of 100), old and new are shown side by side. */
const sideBySide = 98;

/** Old and new, each in its own half. */
const halves = (old: readonly Row[], now: readonly Row[], half: number, divider: string): readonly Row[] =>
  Array.from({ length: Math.max(old.length, now.length) }, (_, index) => [
    ...pad(old[index] ?? blank, half),
    mark(` ${divider} `, 'quiet'),
    ...(now[index] ?? blank),
  ]);

const pagesRows = ({ old, new: now }: ChangeImpact, { width, marks }: Canvas): readonly Row[] => {
  if (width < sideBySide)
    return [
      ...(old === undefined ? [] : labelled('  was', old, width, 'quiet', 7)),
      ...(now === undefined ? [] : labelled('  now', now, width, 'plain', 7)),
    ];
  const half = Math.floor((width - 5) / 2);
  const cell = (text: string | undefined, style: Style): readonly Row[] =>
    text === undefined ? [] : paragraphRows(`  ${text}`, half, style, 2).map((line): Row => [mark('  '), ...line]);
  return halves(cell(old, 'quiet'), cell(now, 'plain'), half + 2, marks.divider);
};

const meaningRows = (impact: ChangeImpact, { width, marks }: Canvas): readonly Row[] => {
  if (impact.meaning === 'nothing' && impact.shown === undefined && impact.decided === undefined) return [];
  const decided =
    impact.decided === undefined
      ? asksSomething(impact)
        ? ', not decided'
        : ''
      : `, decided: ${decidedWords[impact.decided]}`;
  const said =
    impact.shown === undefined ? meaningWords[impact.meaning] : `${meaningWords[impact.meaning]}: ${impact.shown}`;
  const sign = impact.meaning === 'within' ? marks.within : asksSomething(impact) ? marks.outside : marks.todo;
  return marked(`  ${sign}`, `${said}${decided}`, width, meaningTones[impact.meaning]);
};

const changeRows = (impact: ChangeImpact, canvas: Canvas): readonly Row[] => {
  const { step, reading, what, kind } = impact;
  const name = reading === undefined || reading === step ? what : `${reading} ${what}`;
  return [
    ...paragraphRows(`  ${name}: ${kind}`, canvas.width, asksSomething(impact) ? 'person' : 'plain', 4),
    ...pagesRows(impact, canvas),
    ...meaningRows(impact, canvas),
  ];
};

const otherLine = ({ job, procedure, side, state, changes }: JobImpact, width: number): readonly Row[] => {
  const asking = changes.filter(asksSomething).length;
  const name = job ?? withSide(procedure, side);
  return paragraphRows(
    `${name}: ${state}${asking > 0 ? `, ${asking} to decide` : ', nothing to do'}`,
    width,
    'plain',
    2,
  );
};

/** What the revision in the folder of procedures changes against the one that the job follows, and what that means for the job. */
export const revisionText = (facts: BenchFacts, job: JobState, canvas: Canvas): readonly Row[] => {
  const page = newPageFor(facts, job);
  if (page === undefined)
    return paragraphRows('the page among the procedures is the one that this job follows', canvas.width, 'quiet');
  const { width } = canvas;
  const impacts = impactsOf(facts, page);
  const own = impacts.find((one) => one.job === job.id);
  const plan = planFor(page.procedure, job.side);
  const reopens = own?.reopens ?? [];
  const rows: Row[] = [
    ...paragraphRows(`${job.procedure}: revision ${job.revision} to ${page.procedure.revision}`, width),
    ...paragraphRows(
      reopens.length === 0 ? 'moved now, every finished step stands' : `moved now, open again: ${reopens.join(', ')}`,
      width,
      reopens.length === 0 ? 'order' : 'person',
    ),
  ];
  let last: string | undefined;
  // Changes to steps come before changes to the head of the procedure, which ask for no work.
  const changes = (own?.changes ?? []).toSorted((one, other) => Number(one.step === '') - Number(other.step === ''));
  for (const impact of changes) {
    if (impact.step !== last) {
      const step = stepOf(plan, impact.step) ?? stepOf(job.plan, impact.step);
      rows.push(blank, [span(impact.step === '' ? 'head' : (step?.title ?? impact.step), 'strong')]);
      last = impact.step;
    }
    rows.push(...changeRows(impact, canvas));
  }
  if (changes.length === 0) rows.push([mark('nothing in it has changed for this job', 'quiet')]);
  const others = impacts.filter((one) => one !== own);
  if (others.length > 0)
    rows.push(blank, ...title('The same page elsewhere', width), ...others.flatMap((one) => otherLine(one, width)));
  return rows;
};
