import type { Draft } from 'immer';
import { err, ok, refusal, usage, type Fault, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { Reading, Step } from '../../procedure/model.ts';
import { readingOf, resultOf, stepOf } from '../../procedure/plan.ts';
import { breachKey, isBreachKey, whichOf } from '../breach.ts';
import { letCount, redo, reopen, reopenJob, stampOf, stepDraft, touch, voidReleases, type JobDraft } from '../draft.ts';
import type { AskedOf, EntryOf } from '../entry.ts';
import { nonconformances, type Nonconformance } from '../nonconformances.ts';
import { supersede, type Which } from '../parts/part.ts';
import { idOrName } from '../people.ts';
import { isRejudgedKey } from '../rejudged.ts';
import { performerRefusals, powerRefusals } from '../refusals/power.ts';
import { reworkStart, reworkSteps } from '../rework.ts';
import type { Disposition, DispositionKind } from '../judged.ts';
import type { JobState } from '../state.ts';
import { slotsOf } from '../values.ts';
import { takeUnless, type Act, type Ask, type AskedJob } from './act.ts';
import { correctsItem, type Correctable } from './correctable.ts';

interface Target {
  readonly step: Step;
  readonly covers: readonly string[];
}

/** True where something is about the one value that a disposition names; also where the disposition names none. */
const isNamed = (asked: Which, one: Which): boolean =>
  (asked.fastener === undefined || asked.fastener === one.fastener) &&
  (asked.position === undefined || asked.position === one.position) &&
  (asked.n === undefined || asked.n === one.n);

/** The thing that a disposition is about (a reading, result, step, sample or batch), and its values that are outside. */
const targetOf = ({ job, moment }: AskedJob, on: string, which: Which): Target | undefined => {
  const batch = job.batches.findLast((one) => one.batch === on || one.sample?.id === on);
  const all = nonconformances(job, moment.around).filter((one) => isNamed(which, one));
  // A lot is named by its number, and a material or part that no step names by its own name.
  const isOfLot = (one: Nonconformance): boolean => one.lot === on || one.on === on;
  const step =
    readingOf(job.plan, on)?.step ??
    resultOf(job.plan, on)?.step ??
    stepOf(job.plan, on) ??
    (batch && stepOf(job.plan, batch.step)) ??
    stepOf(job.plan, all.find(isOfLot)?.step ?? '');
  if (!step) return undefined;
  const names = new Set([on, ...(batch?.sample ? [batch.sample.id] : [])]);
  const isStep = step.step === on;
  // A disposition of the mix, of its sample or of the breaking covers the whole batch; one of a joint covers that joint alone.
  const isOfBatch = (one: Nonconformance): boolean =>
    one.batch === batch?.batch || (isStep && (one.mix === on || (step.break?.of.includes(one.mix ?? '') ?? false)));
  const covers = all.flatMap((one) => {
    if (one.batch !== undefined && isOfBatch(one)) return [one.key, one.cause ?? one.key];
    if (one.lot === on) return [one.key, one.cause ?? one.key];
    return names.has(one.on) || (isStep && one.step === on) ? [one.key] : [];
  });
  // A breaking that a rule refused belongs to the step that breaks. A failed sample is about what was mixed.
  const early = all.find((one) => one.on === on && isBreachKey(one.key));
  const own = early && covers.every(isBreachKey) ? stepOf(job.plan, early.step) : undefined;
  return { step: own ?? step, covers: [...new Set(covers)] };
};

/** The one value that a disposition names. Scrap is about the whole part, unless it is a fastener. */
const namedIn = ({ 'as-what': kind, fastener, position, n }: AskedOf<'dispose'>): Which =>
  whichOf(kind === 'scrap' ? { fastener, position: undefined, n: undefined } : { fastener, position, n });

/** A disposition of one value names a fastener of its step, or a position or number of its reading. */
const whichFault = ({ job, data }: Ask<'dispose'>): Fault | undefined => {
  const { on, fastener, position, n } = data;
  const count = stepOf(job.plan, on)?.tighten?.fasteners ?? 0;
  if (fastener !== undefined && (fastener < 1 || fastener > count))
    return count === 0
      ? usage('unknown-id', `${on} has no fasteners`, 'name the step that tightens them')
      : usage('unknown-id', `${on} has no fastener ${fastener}`, `give 1 to ${count}`);
  if (position === undefined && n === undefined) return undefined;
  const reading = readingOf(job.plan, on)?.reading;
  const isThere = reading && slotsOf(reading).some((slot) => isNamed(whichOf({ fastener, position, n }), slot));
  return isThere
    ? undefined
    : usage('unknown-id', `${on} has no such value`, reading ? slotsText(reading) : 'name a reading');
};

const slotsText = ({ positions, times }: Reading): string =>
  positions.length > 0 ? `its positions are ${positions.join(', ')}` : `give n from 1 to ${times}`;

/** In a strict procedure, nobody accepts what a rule refused and was done all the same. */
const strictRefusals = ({ job }: Ask<'dispose'>, covers: readonly string[]): readonly Refusal[] =>
  job.plan.strict && covers.some((key) => isBreachKey(key) || isRejudgedKey(key))
    ? [
        refusal(
          'strict',
          `${job.procedure} is strict: what it refuses is not accepted once it is done`,
          'dispose of it by rework or scrap',
        ),
      ]
    : [];

/** The id of whoever accepts, or the name as typed for somebody whom the build does not know. */
const accepterOf = ({ data, moment }: Ask<'dispose'>): string | undefined =>
  data['accepted-by'] === undefined ? undefined : idOrName(Object.values(moment.around.people), data['accepted-by']);

/** A letter is somebody's: of whoever accepts and signs here, else of the author who is named. */
const letterFault = (ask: Ask<'dispose'>): Fault | undefined => {
  const { letter, author } = ask.data;
  if (letter !== undefined && author === undefined && accepterOf(ask) === undefined)
    return usage('field-missing', 'dispose: author is missing', 'give author: who wrote the letter');
  return author !== undefined && letter === undefined
    ? usage('field-missing', 'dispose: letter is missing', "give letter: the path of the author's letter")
    : undefined;
};

const acceptance = (ask: Ask<'dispose'>): readonly Refusal[] => {
  const { data, moment } = ask;
  const who = accepterOf(ask);
  if (who !== undefined) return powerRefusals(who, ['designer'], 'accept it', moment);
  return data.letter === undefined
    ? [
        refusal(
          'power',
          'nobody with the power to do so has accepted it',
          'name the designer who signs (accepted-by), or their letter (letter)',
        ),
      ]
    : [];
};

const isAccepting = (kind: DispositionKind): boolean => kind === 'repair' || kind === 'use-as-is';

const whichText = (on: string, { fastener, position, n }: Which): string =>
  fastener === undefined
    ? [on, ...(position === undefined ? [] : [`at ${position}`]), ...(n === undefined ? [] : [`number ${n}`])].join(' ')
    : `fastener ${fastener} of ${on}`;

/** Sets one value aside, with its mark: it is asked for anew, and the others stay. */
const redoOne = (
  draft: JobDraft,
  job: JobState,
  { on, step, ...which }: Which & { readonly on: string; readonly step: string },
  entry: EntryOf<'dispose'>,
): void => {
  const state = stepDraft(draft, step);
  if (state.state === 'done') reopen(state, entry, `${entry.data['as-what']}: ${entry.data.reason}`);
  const values = which.fastener === undefined ? own(draft.tries, on) : own(draft.fasteners, on);
  const breaches = draft.breaches.filter((one) => one.on === on && one.accepted === undefined);
  for (const list of [values ?? [], breaches])
    supersede(
      list.filter((one: Which) => isNamed(which, one)),
      entry.id,
    );
  touch(draft, step, entry);
  voidReleases(draft, job.plan, [step], entry);
  reopenJob(draft, entry);
};

/** Lets what a rule refused count from now on, where this disposition covers every code of it. */
const acceptBreaches = (draft: JobDraft, { plan }: JobState, entry: EntryOf<'dispose'>): void => {
  const accepted = new Set(draft.dispositions.filter(({ kind }) => isAccepting(kind)).flatMap(({ covers }) => covers));
  for (const breach of draft.breaches) {
    const isNow = breach.codes.every((code) => accepted.has(breachKey(breach, code)));
    if (!isNow || breach.accepted !== undefined || breach.superseded !== undefined) continue;
    breach.accepted = entry.id;
    letCount(draft, plan, breach, entry);
  }
};

/** The author of a letter may be named rightly; a letter always has one, and where there is none nobody wrote it. */
const judgeDisposition: Correctable<'dispose'>['judge'] = ({ job }, { target, now }) => {
  const { letter, acceptedBy } = job.dispositions.find(({ entry }) => entry === target) ?? {};
  if (letter === undefined && now.author !== undefined)
    return err(usage('not-corrected', `${target} has no letter`, 'dispose it again, with the letter and its author'));
  return letter !== undefined && acceptedBy === undefined && now.author === undefined
    ? err(usage('field-missing', 'dispose: author is missing', 'give author: who wrote the letter'))
    : ok({});
};

/** The ways to deal with work outside its limits (section 4 of the design). */
export const disposeAct: Act<'dispose'> = {
  decide: (ask) => {
    const { on, 'as-what': kind } = ask.data;
    const who = accepterOf(ask);
    const fault = whichFault(ask) ?? letterFault(ask);
    if (fault) return err(fault);
    const which = namedIn(ask.data);
    const target = targetOf(ask, on, which);
    if (!target)
      return err(
        usage(
          'unknown-id',
          `nothing called '${on}' in this job`,
          'name a reading, a result, a step, a sample, a batch or a lot',
        ),
      );
    const stands = isAccepting(kind);
    if (stands && target.covers.length === 0)
      return err(usage('nothing-outside', `nothing of ${on} stands outside its limits`, 'there is nothing to accept'));
    const isOne = Object.keys(which).length > 0;
    const back = kind === 'rework' || kind === 'scrap' ? reworkStart(ask.job, target.step.step, kind) : undefined;
    const refusals = [
      ...performerRefusals(ask.moment),
      ...(stands ? strictRefusals(ask, target.covers) : []),
      ...(stands || who !== undefined ? acceptance(ask) : []),
    ];
    return takeUnless(ask, target.step, refusals, {
      data: { step: target.step.step, covers: target.covers },
      also: who !== undefined && who !== ask.command.by ? [who] : [],
      told: back
        ? [isOne ? `${whichText(on, which)} is to be done anew; the others stay` : `back to ${back.step}`]
        : [],
    });
  },
  evolve: (draft, entry, job) => {
    const { on, 'as-what': kind, reason, step, covers, 'accepted-by': named, author } = entry.data;
    // Whoever accepts signs the entry: beside its author, or as its author.
    const acceptedBy = named === undefined ? undefined : (entry.also[0] ?? entry.by);
    const letter = entry.data['letter-sha256'];
    const disposition: Disposition = {
      ...stampOf(entry),
      on,
      kind,
      reason,
      covers,
      step,
      ...namedIn(entry.data),
      ...(acceptedBy === undefined ? {} : { acceptedBy }),
      ...(letter === undefined ? {} : { letter }),
      ...(author === undefined ? {} : { author }),
    };
    draft.dispositions.push(disposition as Draft<Disposition>);
    if (isAccepting(kind)) acceptBreaches(draft, job, entry);
    const which = namedIn(entry.data);
    if (isAccepting(kind) || kind === 'ask') touch(draft, step, entry);
    else if (Object.keys(which).length > 0) redoOne(draft, job, { ...which, on, step }, entry);
    else {
      redo(draft, job.plan, reworkSteps(job, step, kind), entry, `${kind}: ${reason}`);
      reopenJob(draft, entry);
    }
  },
  words: (data) => `${data['as-what']}: ${data.on}`,
  correct: correctsItem<'dispose', Disposition>(
    {
      items: ({ dispositions }) => dispositions,
      names: { reason: 'reason', author: 'author' },
      steps: ({ step }) => [step],
    },
    { bare: () => 'reason', otherwise: 'dispose it again: the latest disposition counts', judge: judgeDisposition },
  ),
};
