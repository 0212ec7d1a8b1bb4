import type { RefusalCode } from '../fault/codes.ts';
import { own } from '../fault/own.ts';
import type { Step } from '../procedure/model.ts';
import { readingOf } from '../procedure/plan.ts';
import type { Trouble, Which } from './parts/part.ts';
import type { Entry } from './entry.ts';
import type { Batch, JobState } from './state.ts';
import type { Breach, Pending } from './stamp.ts';
import { verbSpec, type JobVerb } from './verbs.ts';

/*
 * The design's first principle: dryfit may refuse the next thing, and never refuses to write down what was done. What a rule refuses and is
 * done already is entered with `done` and its reason. The entry then lists the codes that would have refused it, and each is an open
 * nonconformance until somebody disposes of it.
 */

/**
 * Codes that `done` never gets past: who may act, what only a record says, and what is not in the past. `reason-missing` is among them
 * because `done` is the reason.
 */
const neverWritten: ReadonlySet<RefusalCode> = new Set([
  'reason-missing',
  'when-ahead',
  'gate-passed',
  'hold-closed',
  'power',
  'own-work',
  'finding-open',
  'strict',
  'twin-open',
  'read-only',
  'procedure-faulty',
  'unfinished',
  'job-closed',
]);

/** A cure, a wait, a look and a gate are what the finish waits for, so nobody can have finished such a step too early. */
const isWaitedFor = (step: Step | undefined): boolean =>
  step !== undefined && (step.cure ?? step.wait ?? step.hold ?? step.gate) !== undefined;

const takesDone = (verb: JobVerb): boolean => verbSpec(verb).fields.some(({ name }) => name === 'done');

/** True where work that a rule refuses with this code may be written down as done. */
export const canBeWritten = (verb: JobVerb, step: Step | undefined, code: RefusalCode): boolean =>
  takesDone(verb) && !neverWritten.has(code) && !(verb === 'finish' && isWaitedFor(step));

/** Codes of a finish that only ask for something to be entered or decided first. There, nobody is pointed to `done`. */
const askedFirst: ReadonlySet<RefusalCode> = new Set(['part-missing', 'outside', 'undecided', 'nonconformance-open']);

/** True where a refusal says that the act may be written down all the same. */
export const isOffered = (verb: JobVerb, step: Step | undefined, codes: readonly RefusalCode[]): boolean =>
  codes.every((code) => canBeWritten(verb, step, code)) &&
  !(verb === 'finish' && codes.every((code) => askedFirst.has(code)));

/** The codes that would have refused an entry; empty for an entry that no rule refused. */
export const refusedIn = (entry: Entry): readonly RefusalCode[] =>
  'refused' in entry.data ? ((entry.data.refused ?? []) as readonly RefusalCode[]) : [];

/** What an item of an entry says about itself where a rule refused it. */
export const pendingOf = (entry: Entry): Pending => (refusedIn(entry).length > 0 ? { pending: true } : {});

/** The key by which a disposition covers a breach for one code. */
export const breachKey = ({ entry }: Pick<Breach, 'entry'>, code: RefusalCode): string => `done ${entry} ${code}`;

export const isBreachKey = (key: string): boolean => key.startsWith('done ');

/** What was wrong, in words that follow what was done. */
const words: Readonly<Record<string, string>> & Partial<Record<RefusalCode, string>> = {
  'out-of-order': 'out of order',
  'part-missing': 'with parts of the step missing',
  outside: 'with a value outside its limits',
  undecided: 'with a value undecided',
  'tries-used': 'after the last try',
  'proof-missing': 'without its proof',
  'still-needed': 'over an area that is still needed',
  'cure-not-reached': 'before the cure had reached its stage',
  wait: 'before the wait was over',
  'too-late': 'too late',
  covered: 'in an area that is covered',
  'pot-life-over': 'after the pot life had ended',
  'batch-size': 'in a batch of the wrong size',
  'lot-missing': 'without a lot, or without its use-by',
  'lot-expired': 'with a lot that is expired or in quarantine',
  'serial-missing': 'without a serial number',
  'tool-out-of-date': 'with a tool that is not in date, or is in doubt',
  uncertainty: "without the tool's uncertainty, or with one too large",
  'shop-outside': 'with the shop outside its range, or not known',
  'gate-open': 'with the gate open',
  'earlier-procedure': 'without the earlier procedure',
  'helper-missing': 'with helpers missing',
  clock: 'while the clock was in doubt',
  contradiction: 'on work that contradicts what was done elsewhere',
  'nonconformance-open': 'with an earlier nonconformance open',
};

/** What was wrong with something, in words. */
export const refusedWords = (codes: readonly string[]): string =>
  codes.map((code) => own(words, code) ?? code).join('; ');

/** Of a value that somebody corrected since, the value as it is now. */
const subjectOf = (job: JobState, { verb, on, step, entry, fastener }: Breach): string => {
  if (verb === 'read') return `${on} ${(own(job.tries, on) ?? []).find((one) => one.entry === entry)?.value ?? ''}`;
  if (verb === 'tighten') {
    const act = (own(job.fasteners, step) ?? []).find((one) => one.entry === entry);
    const values = [act?.torque, act?.fingerTight, act?.past].filter((value) => value !== undefined);
    return [`fastener ${fastener ?? ''} of ${step}`, ...values].join(', ');
  }
  if (verb === 'mix') return `${on} mixed`;
  if (verb === 'break') return `the sample ${on} broken`;
  if (verb === 'photo') return `a photo of ${step} taken`;
  return verb === 'begin' ? `${step} begun` : `${step} finished`;
};

/** What was done and what was wrong with it: `the sample S-1 broken, before the cure had reached its stage`. */
export const breachText = (job: JobState, breach: Breach, code: RefusalCode): string =>
  `${subjectOf(job, breach)}, ${words[code] ?? code}: ${breach.reason}`;

/** The one value that a breach is about. */
export const whichOf = ({
  fastener,
  position,
  n,
}: { readonly [Key in keyof Which]: Which[Key] | undefined }): Which => ({
  ...(fastener === undefined ? {} : { fastener }),
  ...(position === undefined ? {} : { position }),
  ...(n === undefined ? {} : { n }),
});

/** A batch that was discarded ends its own breaches, because nothing is made of it. */
export const isThrownAway = (job: JobState, { verb, on }: Breach): boolean =>
  verb === 'mix' && job.batches.some((batch) => batch.batch === on && batch.discarded !== undefined);

/** True while a breach counts for nothing and its work is still there. */
export const isPending = (job: JobState, breach: Breach): boolean =>
  breach.accepted === undefined && breach.superseded === undefined && !isThrownAway(job, breach);

/** What is still to be decided about work of a step that a rule refused and that was done all the same. */
export const breachTroubles = (job: JobState, step: Step): readonly Trouble[] =>
  job.breaches
    .filter((breach) => breach.step === step.step && isPending(job, breach))
    .flatMap((breach) =>
      breach.codes.map((code) => ({
        on: breach.on,
        step: step.step,
        key: breachKey(breach, code),
        verdict: 'refused' as const,
        what: breachText(job, breach, code),
        ...whichOf(breach),
      })),
    );

const stepOfSample = (job: JobState, batch: Pick<Batch, 'step'>): string =>
  job.plan.steps.find((step) => step.break?.of.includes(batch.step))?.step ?? batch.step;

type About = Pick<Breach, 'on' | 'step' | 'fastener' | 'position' | 'n' | 'batch' | 'mix'>;

/** What an entry that a rule refused is about; `undefined` for a verb that takes no `done`. */
const aboutOf = (job: JobState, entry: Entry): About | undefined => {
  if (entry.type === 'read') {
    const { reading, position, n } = entry.data;
    return { on: reading, step: readingOf(job.plan, reading)?.step.step ?? '', ...whichOf({ position, n }) };
  }
  if (entry.type === 'tighten') return { on: entry.data.step, step: entry.data.step, fastener: entry.data.fastener };
  if (entry.type === 'mix') {
    const { step, batch } = entry.data;
    return { on: batch, step, batch, mix: step };
  }
  if (entry.type === 'break') {
    const { sample } = entry.data;
    const of = job.batches.findLast((one) => one.batch === sample || one.sample?.id === sample);
    return of && { on: of.sample?.id ?? of.batch, step: stepOfSample(job, of), batch: of.batch, mix: of.step };
  }
  if (entry.type === 'photo') {
    const of = job.plan.steps.find((step) => step.photos.some(({ photo }) => photo === entry.data.photo));
    return of && { on: of.step, step: of.step };
  }
  return entry.type === 'begin' || entry.type === 'finish' ? { on: entry.data.step, step: entry.data.step } : undefined;
};

/** The breach that an entry is, without its stamp; `undefined` where no rule refused it. */
export const breachIn = (job: JobState, entry: Entry): Omit<Breach, 'entry' | 'at' | 'when' | 'by'> | undefined => {
  const codes = refusedIn(entry);
  const about = codes.length > 0 ? aboutOf(job, entry) : undefined;
  if (!about || !('done' in entry.data)) return undefined;
  const names = 'with' in entry.data ? (entry.data.with ?? []) : [];
  return { ...about, verb: entry.type as JobVerb, with: names, codes, reason: entry.data.done ?? '' };
};
