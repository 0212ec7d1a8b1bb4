import { looseStatus, type JobStatus } from '../../aircraft/status.ts';
import { stageStatusWords } from '../../aircraft/status-words.ts';
import { memoisedBy } from '../../fault/memo.ts';
import { msOf } from '../../job/cure.ts';
import { spanWords, spokenTime } from '../drawing/clock.ts';
import type { ListItem } from '../drawing/list.ts';
import type { Marks } from '../drawing/marks.ts';
import { mark, paragraphRows, row, span, type Row, type Style } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import { jobsRows, type JobsRow } from '../session/jobs.ts';
import type { Pages, Session } from '../session/state.ts';
import { hint, labelled, menuHint, title, type Canvas, type PageContent } from './page.ts';
import { answerRows } from './answer.ts';
import { jobIn } from '../../aircraft/jobs.ts';

/** The most rows under the list about the item at the pointer. */
const mostUnder = 4;

type Cure = JobStatus['cures'][number];

/** The stage of a cure that is waited for next. */
const nextStage = (cure: Cure): Cure['stages'][number] | undefined => cure.stages.find((stage) => !stage.reached);

/** The hours by the clock, the hours that counted, and when the stage should be reached. */
const cureWords = (cure: Cure, { now }: BenchFacts): string => {
  const stage = nextStage(cure);
  if (!stage) return '';
  const clock = `clock ${spanWords(now.ms - msOf(cure.begun))}`;
  const ready =
    stage.forecast === undefined
      ? cure.temperature === undefined
        ? 'no temperature yet'
        : `no end at ${cure.temperature}`
      : `about ${spokenTime(msOf(stage.forecast), now.ms, now.offset)}`;
  return `${stage.stage}: ${clock}, counted ${stageStatusWords(stage, spanWords)}, ${ready}`;
};

/** The job at the pointer in full: its open step, its cures, and what it waits for. */
const pointedAt = (line: JobStatus, facts: BenchFacts, width: number): readonly Row[] => {
  const step = jobIn(facts.build.jobs, line.id)?.plan.steps.find((one) => one.step === line.step);
  const owed = [
    ...(line.samplesOwed.length > 0
      ? labelled('to break', `sample ${line.samplesOwed.join(', ')}`, width, 'plain', 11)
      : []),
    ...line.nonconformances.flatMap((what) => labelled('in doubt', what, width, 'outside', 11)),
  ];
  const cures = line.cures.flatMap((cure) => labelled('cure', cureWords(cure, facts), width, 'person', 11));
  if (line.state === 'complete' && line.contradictions.length === 0) return [...cures, ...owed].slice(0, mostUnder);
  // The rows of a cure say more than that the job waits for it.
  const waits = line.waitsFor.filter((what) => line.cures.length === 0 || !what.startsWith('cure: '));
  return [
    ...(step ? labelled('open', step.title, width, 'plain', 11) : []),
    ...cures,
    ...(waits.length > 0 ? labelled('waits for', waits.join('; '), width, 'plain', 11) : []),
    ...owed,
  ].slice(0, mostUnder);
};

/** A job in one line: what it is, how far it has come, what it waits for. Made once for each status: most stay the same from key to key. */
const jobItem = memoisedBy((job: JobStatus, marks: Marks): ListItem => {
  const isContradicted = job.contradictions.length > 0;
  const style: Style =
    isContradicted || (job.state !== 'complete' && job.potLife)
      ? 'outside'
      : job.state === 'complete'
        ? 'quiet'
        : 'plain';
  const name = job.side === undefined || job.title.includes(job.side) ? job.title : `${job.title}, ${job.side}`;
  const place =
    job.state === 'complete' ? 'complete' : `${job.number} of ${job.of}${job.state === 'open' ? '' : `, ${job.state}`}`;
  const [first = ''] = job.waitsFor;
  const cures = job.cures.flatMap((cure) => {
    const stage = nextStage(cure);
    return stage ? [`${stage.stage} ${stageStatusWords(stage, spanWords)}`] : [];
  });
  const isSaid = first.startsWith('cure: ') && cures.length > 0;
  const waits = first !== '' && !isSaid && (job.state !== 'complete' || isContradicted) ? `waits for ${first}` : '';
  const owed = job.nonconformances.length > 0 ? `${job.nonconformances.length} in doubt` : '';
  const { length } = job.samplesOwed;
  const sample = length === 0 ? '' : length === 1 ? 'a sample to break' : `${length} samples to break`;
  return {
    row: [...(isContradicted ? [mark(`${marks.not} `, 'outside')] : []), span(name, style)],
    aside: [place, owed, waits, ...cures, sample].filter((part) => part !== '').join(', '),
  };
});

const itemOf = (one: JobsRow, marks: Marks): ListItem => {
  if (one.kind === 'job') return jobItem(one.job, marks);
  if (one.kind === 'start') return { row: row('start a job', 'strong') };
  const [sign, style] =
    one.kind === 'contradiction' ? ([marks.not, 'outside'] as const) : ([marks.attention, 'person'] as const);
  const { label, aside } = one.item;
  return { row: [mark(`${sign} `, style), span(label, style)], ...(aside === undefined ? {} : { aside }) };
};

/** The rows under the list, about the item at the pointer. */
const underList = (one: JobsRow | undefined, facts: BenchFacts, width: number): readonly Row[] => {
  if (one?.kind === 'job') return pointedAt(one.job, facts, width);
  if (one === undefined || one.kind === 'start' || one.item.opens.kind !== 'form') return [];
  return one.item.opens.form.about.flatMap((line) => paragraphRows(line, width, 'quiet')).slice(0, 3);
};

export const jobsView = (session: Session, page: Pages['jobs'], facts: BenchFacts, canvas: Canvas): PageContent => {
  const rows = jobsRows(facts);
  const isEmpty = facts.build.jobOrder.length === 0;
  const loose = looseStatus(facts.build);
  const gates = [...new Set(loose.map((one) => one.before))].map(
    (gate) => `${gate} ${loose.filter((one) => one.before === gate).reduce((sum, one) => sum + one.open, 0)}`,
  );
  return {
    left: [
      mark('dryfit', 'strong'),
      span(facts.build.file.aircraft['name'] === undefined ? '' : `  ${facts.build.file.aircraft['name']}`, 'quiet'),
    ],
    text: [
      ...title(isEmpty ? 'No job yet' : 'Jobs', canvas.width),
      ...(gates.length > 0 ? paragraphRows(`Loose, by gate: ${gates.join(', ')}`, canvas.width, 'person', 2) : []),
      ...(facts.build.scripted
        ? paragraphRows('This state is scripted: nothing in it was done.', canvas.width, 'person')
        : []),
    ],
    list: { items: rows.map((one) => itemOf(one, canvas.marks)), selected: Math.min(page.selected, rows.length - 1) },
    work: underList(rows[page.selected], facts, canvas.width),
    said: answerRows(session.answer, canvas.marks, canvas.width, facts.now),
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), menuHint],
  };
};
