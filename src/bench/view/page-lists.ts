import { looseStatus, type JobStatus } from '../../aircraft/status.ts';
import { msOf } from '../../job/cure.ts';
import { spanWords, spokenTime } from '../drawing/clock.ts';
import type { ListItem } from '../drawing/list.ts';
import type { Marks } from '../drawing/marks.ts';
import { blank, mark, paragraphRows, row, span, type Row, type Style } from '../drawing/rows.ts';
import { jobShown } from '../placed.ts';
import type { Startable, BenchFacts } from '../ports.ts';
import { jobsRows, type JobsRow } from '../session/jobs.ts';
import { menuItems } from '../session/menu.ts';
import { sidesOf } from '../session/pages.ts';
import type { MenuGroup, Page, Session } from '../session/state.ts';
import { isInterrupted, lastSteps } from '../session/open-job.ts';
import { backHint, digits, hint, labelled, marked, menuHint, title, type Canvas, type Middle } from './page.ts';
import { toldRows } from './told.ts';
import { jobIn } from '../../aircraft/jobs.ts';

type Of<P extends Page['page']> = Extract<Page, { page: P }>;

/** Rows that stand under the list, for the row under the pointer. */
const mostUnder = 4;

type Cure = JobStatus['cures'][number];

/** The stage of a cure that is waited for next. */
const nextStage = (cure: Cure): Cure['stages'][number] | undefined => cure.stages.find((stage) => !stage.reached);

/** Hours by the clock, hours that counted, and when it would be there. */
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
  return `${stage.stage}: ${clock}, counted ${spanWords(stage.countedMs)} of ${spanWords(stage.needMs)}, ${ready}`;
};

/** The job under the pointer, in full: what is open in it, and what it waits for. */
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
  // the cure says more of itself than that it is waited for
  const waits = line.waitsFor.filter((what) => line.cures.length === 0 || !what.startsWith('cure: '));
  return [
    ...(step ? labelled('open', step.title, width, 'plain', 11) : []),
    ...cures,
    ...(waits.length > 0 ? labelled('waits for', waits.join('; '), width, 'plain', 11) : []),
    ...owed,
  ].slice(0, mostUnder);
};

/** A job in one line: what it is, how far it has come, what it waits for. */
const jobItem = (job: JobStatus, marks: Marks): ListItem => {
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
    return stage ? [`${stage.stage} ${spanWords(stage.countedMs)} of ${spanWords(stage.needMs)}`] : [];
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
};

const itemOf = (one: JobsRow, marks: Marks): ListItem => {
  if (one.kind === 'job') return jobItem(one.job, marks);
  if (one.kind === 'start') return { row: row('start a job', 'strong') };
  const [sign, style] =
    one.kind === 'contradiction' ? ([marks.not, 'outside'] as const) : ([marks.attention, 'person'] as const);
  const { label, aside } = one.item;
  return { row: [mark(`${sign} `, style), span(label, style)], ...(aside === undefined ? {} : { aside }) };
};

/** What stands in full under the list, of the row under the pointer. */
const underList = (one: JobsRow | undefined, facts: BenchFacts, width: number): readonly Row[] => {
  if (one?.kind === 'job') return pointedAt(one.job, facts, width);
  if (one === undefined || one.kind === 'start' || one.item.opens.kind !== 'form') return [];
  return one.item.opens.form.about.flatMap((line) => paragraphRows(line, width, 'quiet')).slice(0, 3);
};

export const jobsView = (session: Session, page: Of<'jobs'>, facts: BenchFacts, canvas: Canvas): Middle => {
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
    said: toldRows(session.told, canvas.marks, canvas.width, facts.now),
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), menuHint],
  };
};

/** Where a procedure is done for each side, both stand for it: `Strut bolts, left/right side`. */
const sided = ({ procedure }: Startable, text: string): string =>
  procedure && procedure.each.length > 0 ? text.replaceAll('<each>', procedure.each.join('/')) : text;

export const proceduresView = (
  _session: Session,
  page: Of<'procedures'>,
  facts: BenchFacts,
  canvas: Canvas,
): Middle => ({
  left: [mark('Start a job', 'strong')],
  text:
    facts.procedures.length === 0
      ? paragraphRows('There is no procedure in the folder. `dryfit --procedures DIR` names another.', canvas.width)
      : [],
  list: {
    items: facts.procedures.map((found) => ({
      row: [span(sided(found, found.title), found.fault ? 'quiet' : 'plain')],
      aside: found.fault ? 'has errors' : found.procedure ? `revision ${found.procedure.revision}` : '',
    })),
    selected: page.selected,
  },
  work: [],
  said: [],
  hints: [hint('enter', 'look at it'), backHint],
});

const needsRows = (page: Of<'start'>, facts: BenchFacts, { width, marks }: Canvas): readonly Row[] => {
  const found = facts.procedures.find((one) => one.id === page.procedure);
  const procedure = found?.procedure;
  if (!procedure) return [];
  const { gather: needs } = procedure;
  const names = (items: readonly string[]): string => items.join(', ');
  const shop = [needs.shop?.temperature?.text, needs.shop?.humidity?.text].filter((text) => text !== undefined);
  return [
    ...(procedure.purpose === undefined ? [] : paragraphRows(sided(found, procedure.purpose), width)),
    ...procedure.warnings.flatMap((text) => marked(marks.attention, `Warning: ${text}`, width, 'outside')),
    ...(needs.tools.length > 0 ? labelled('tools', names(needs.tools.map((one) => one.title ?? one.tool)), width) : []),
    ...(needs.materials.length > 0
      ? labelled('materials', names(needs.materials.map((one) => one.title ?? one.material)), width)
      : []),
    ...(needs.parts.length > 0
      ? labelled('parts', names(needs.parts.map((one) => `${one.quantity ?? 1} ${one.title ?? one.part}`)), width)
      : []),
    ...(shop.length > 0 ? labelled('shop', names(shop), width) : []),
    ...labelled('people', String(procedure.people), width),
    ...(procedure.takes ? labelled('hands-on', procedure.takes.text, width) : []),
    ...(procedure.after.length > 0 ? labelled('after', names(procedure.after.map((one) => one.procedure)), width) : []),
  ];
};

export const startView = (_session: Session, page: Of<'start'>, facts: BenchFacts, canvas: Canvas): Middle => {
  const found = facts.procedures.find((one) => one.id === page.procedure);
  const sides = sidesOf(found);
  const open = facts.build.jobOrder
    .flatMap((id) => jobIn(facts.build.jobs, id) ?? [])
    .filter((job) => job.procedure === page.procedure && !job.completed);
  const one = sides.length === 1 && sides[0] === undefined;
  return {
    left: [mark('Start a job', 'strong')],
    text: [
      ...title(found ? sided(found, found.title) : page.procedure, canvas.width),
      ...needsRows(page, facts, canvas),
    ],
    ...(one
      ? {}
      : {
          list: {
            items: sides.map((side) => ({
              row: row(side ?? ''),
              ...(open.some((job) => job.side === side) ? { aside: 'one is open' } : {}),
            })),
          },
        }),
    work: [],
    said: one && open.length > 0 ? [[mark(`${open.length} open already`, 'person')]] : [],
    hints: [one ? hint('enter', 'start') : hint(digits(sides.length), 'start that side'), backHint],
  };
};

export const backView = (session: Session, page: Of<'back'>, facts: BenchFacts, canvas: Canvas): Middle => {
  const job = jobShown(facts, page.job);
  if (!job) return { text: [], work: [], said: [], hints: [backHint] };
  const last = job.log.at(-1);
  const away = last ? facts.now.ms - msOf(last.at) : 0;
  const long = away > 10 * 60_000;
  return {
    text: [
      ...title(isInterrupted(job) ? 'Coming back after an interruption' : 'Coming back', canvas.width),
      ...paragraphRows(
        last
          ? `Last entry ${spokenTime(msOf(last.at), facts.now.ms, facts.now.offset)}, ${spanWords(away)} ago. All that was taken is kept.`
          : '',
        canvas.width,
      ),
      ...paragraphRows(
        long ? 'Look again at the last three steps, with your hands on the work.' : 'Look again at the last steps.',
        canvas.width,
        'strong',
      ),
    ],
    list: {
      items: lastSteps(job).map((step) => {
        const ticked = page.ticked.includes(step.step);
        return {
          row: [mark(ticked ? `${canvas.marks.within} ` : '  ', 'order'), span(step.title)],
          aside: ticked ? 'looked at again' : 'not yet',
        };
      }),
    },
    work: [],
    said: toldRows(session.told, canvas.marks, canvas.width, facts.now),
    hints: [hint(digits(lastSteps(job).length), 'looked at again'), hint('enter', 'go on'), backHint],
  };
};

const menuTitles: Readonly<Record<MenuGroup, string>> = {
  all: 'Everything else',
  value: 'Values',
  correct: 'Correct a value',
  again: 'Take a value again',
  work: 'Work',
  loose: 'Loose items',
  stock: 'Tools and materials',
  people: 'People',
  screen: 'Screen',
  refused: '',
};

export const menuView = (_session: Session, page: Of<'menu'>, facts: BenchFacts): Middle => {
  const items = menuItems(facts, page.group, jobShown(facts, page.job));
  return {
    text: [
      [mark(menuTitles[page.group], 'strong')],
      ...(items.length === 0 ? [blank, [mark('nothing yet', 'quiet')] as Row] : []),
    ],
    list: {
      items: items.map(({ label, aside }) => ({ row: row(label), ...(aside ? { aside } : {}) })),
      selected: page.selected,
    },
    work: [],
    said: [],
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), backHint],
  };
};
