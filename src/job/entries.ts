import { readingOf } from '../procedure/plan.ts';
import type { EntryVerdict } from './entry.ts';
import { slotLabel, stepLabel } from './labels.ts';
import { ownVerdict } from './parts/reading.ts';
import { verdictOfFastener } from './parts/tighten.ts';
import { saidFields } from './said-lately.ts';
import type { Batch, FastenerAct, JobState, Logged, Try } from './state.ts';
import { isJobVerb, type JobVerb } from './verbs.ts';

/** One entry of a job as a person reads it: what was entered, what that means now, and what was struck of it. */
export interface EntryLine {
  readonly logged: Logged;
  /** `Gap along the flange, root: 0.12 mm` */
  readonly what: string;
  /** What it means besides its verdict: `set aside`, `in its ratio`, `void`. */
  readonly means: readonly string[];
  readonly verdict?: EntryVerdict;
  readonly struck: readonly { readonly value: string; readonly reason: string; readonly by: string }[];
}

type Said = Pick<EntryLine, 'what' | 'means'> & { readonly verdict?: EntryVerdict | undefined };

/** What a person calls an entry; the step that it is about follows. */
const named: Readonly<Record<JobVerb, string>> = {
  begin: 'Begun',
  finish: 'Finished',
  complete: 'Job complete',
  interrupt: 'Interrupted',
  resume: 'Taken up again',
  read: 'Value',
  correct: 'Correction',
  tighten: 'Fastener',
  mix: 'Batch',
  discard: 'Batch discarded',
  break: 'Sample broken',
  lot: 'Lot',
  use: 'Tool in use',
  shop: 'The shop',
  photo: 'Photo',
  release: 'Hold released',
  refuse: 'Hold refused',
  answer: 'Finding answered',
  reinspect: 'Looked again, not released',
  invite: 'Invited',
  dispose: 'Disposition',
  depart: 'Departure',
  skip: 'Left for later',
  undo: 'Undone',
  loose: 'Left loose',
  close: 'Loose item closed',
  park: 'Parked',
  unpark: 'Taken up again',
  remark: 'Remark',
  advise: 'Advice',
  move: 'New revision followed',
  resolve: 'Change decided',
  part: 'Part',
  withdraw: 'Job withdrawn',
};

const isPresent = (text: string | undefined): text is string => text !== undefined && text !== '';

/** Set aside, refused by a rule, or taken again: what a value means besides its verdict. */
const standing = ({ superseded, pending }: Pick<Try, 'superseded' | 'pending'>): readonly string[] => [
  ...(superseded === undefined ? [] : ['set aside']),
  ...(pending === true ? ['a rule refused it: it counts for nothing'] : []),
];

const ofTry = (job: JobState, entry: string): Said | undefined => {
  const [id, tries] = Object.entries(job.tries).find(([, all]) => all.some((one) => one.entry === entry)) ?? [];
  const one = tries?.find((found) => found.entry === entry);
  if (id === undefined || one === undefined) return undefined;
  const reading = readingOf(job.plan, id)?.reading;
  const means = [...standing(one), one.calculated && 'calculated', one.reason && `taken again: ${one.reason}`];
  return {
    what: `${reading ? slotLabel(reading, one) : id}: ${one.value}`,
    means: means.filter(isPresent),
    verdict: reading && ownVerdict(job, reading, one),
  };
};

const valuesOf = ({ drag, torque, fingerTight, past, mark }: FastenerAct): string =>
  [
    drag && `drag ${drag}`,
    torque && `wrench showed ${torque}`,
    fingerTight && `by hand ${fingerTight}`,
    past && `past that ${past}`,
    mark ? 'marked' : undefined,
  ]
    .filter(isPresent)
    .join(', ');

const ofFastener = (job: JobState, entry: string): Said | undefined => {
  for (const [id, acts] of Object.entries(job.fasteners)) {
    const act = acts.find((one) => one.entry === entry);
    if (!act) continue;
    const tighten = job.plan.steps.find(({ step }) => step === id)?.tighten;
    const means = [...standing(act), act.reason && `tightened again: ${act.reason}`];
    return {
      what: `${stepLabel(job.plan, id)}, fastener ${act.fastener}: ${valuesOf(act)}`,
      means: means.filter(isPresent),
      verdict: tighten && verdictOfFastener(job, tighten, act),
    };
  }
  return undefined;
};

const ofBatch = (batch: Batch | undefined): Said | undefined => {
  if (!batch) return undefined;
  const weights = Object.entries(batch.weights).map(([part, weight]) => `${part} ${weight}`);
  const { sample, discarded } = batch;
  const means = [
    batch.inRatio ? 'in its ratio' : 'out of its ratio',
    sample && `sample ${sample.id}`,
    discarded && `discarded: ${discarded.because}`,
    ...standing(batch),
  ];
  return { what: `Batch ${batch.batch}: ${weights.join(', ')}`, means: means.filter(isPresent) };
};

/** Any other entry: what it is called, its step, and the fields that its person gave. */
const ofAny = (job: JobState, { type, step, entry }: Logged): Said => {
  const verb = isJobVerb(type) ? type : undefined;
  const look = Object.values(job.looks)
    .flat()
    .find((one) => one.entry === entry);
  const fields = verb
    ? saidFields(job, verb, entry).flatMap(({ field, value }) => (field === 'step' ? [] : (value ?? [])))
    : [];
  const said = look ? [look.remark, look.who, look.how, ...look.findings.map((one) => `finding ${one}`)] : fields;
  const name = verb ? named[verb] : type === 'start' ? 'Job started' : type;
  const about = step === undefined ? '' : ` ${stepLabel(job.plan, step)}`;
  const words = said.filter(isPresent).join(', ');
  return {
    what: `${name}${about === '' ? '' : `:${about}`}${words === '' ? '' : `: ${words}`}`,
    means: look?.voided === undefined ? [] : ['void since'],
  };
};

const saidIn = (job: JobState, logged: Logged): Said => {
  const { entry, type } = logged;
  const found =
    type === 'read'
      ? ofTry(job, entry)
      : type === 'tighten'
        ? ofFastener(job, entry)
        : type === 'mix'
          ? ofBatch(job.batches.find((batch) => batch.entry === entry))
          : undefined;
  return found ?? ofAny(job, logged);
};

const wordsOf = (said: Said | undefined): string | undefined =>
  said && [said.what, ...said.means.filter((one) => one === 'calculated')].join(', ');

/** The value or fastener of one entry by the labels of its page: `Gap along the flange, root: 0.12 mm`. */
export const valueWords = (job: JobState, entry: string): string | undefined =>
  wordsOf(ofTry(job, entry) ?? ofFastener(job, entry));

/** Everything that was entered in a job, newest first, with what it means now and what corrections struck of it. */
export const entriesOf = (job: JobState): readonly EntryLine[] =>
  job.log.toReversed().map((logged) => {
    const { verdict, ...said } = saidIn(job, logged);
    return {
      logged,
      ...said,
      ...(verdict === undefined ? {} : { verdict }),
      struck: job.struck
        .filter(({ entry }) => entry === logged.entry)
        .map(({ value, reason, struckBy }) => ({ value, reason, by: struckBy })),
    };
  });
