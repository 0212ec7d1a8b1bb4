import { firstRefusal } from '../../fault/codes.ts';
import { err, ok, usage, type Fault, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Step } from '../../procedure/model.ts';
import { stepOf, type Plan } from '../../procedure/plan.ts';
import { parseInstant } from '../../quantity/time.ts';
import { departureFor } from '../departure.ts';
import type { JobDraft } from '../draft.ts';
import {
  happened,
  type AskedOf,
  type CommandOf,
  type DataOf,
  type DerivedOf,
  type EntryOf,
  type EntryVerdict,
  type TakenOf,
} from '../entry.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import type { Surroundings } from '../surroundings.ts';
import type { JobVerb } from '../verbs.ts';

/** One command put to one job, with what it needs to be decided. */
export interface Ask<V extends JobVerb = JobVerb> {
  readonly job: JobState;
  readonly command: CommandOf<V>;
  readonly data: AskedOf<V>;
  /** When it happened: the time that rules use. */
  readonly when: string;
  readonly moment: Moment;
}

/** What of an ask does not depend on its verb. */
export type AskedJob = Pick<Ask, 'job' | 'moment'>;

/** All that the program knows of one verb of a job. */
export interface Act<V extends JobVerb> {
  readonly decide: (ask: Ask<V>) => Outcome<TakenOf<V>>;
  /** Never refuses: what is written is written. */
  readonly evolve: (draft: JobDraft, entry: EntryOf<V>, job: JobState) => void;
  /** What was entered, in a few words, for the person who entered it. */
  readonly words: (data: DataOf<V>) => string | undefined;
}

/** `move` puts the whole job on another plan. */
export interface MoveAct extends Omit<Act<'move'>, 'evolve'> {
  readonly move: (job: JobState, entry: EntryOf<'move'>, plan: Plan) => JobState;
}

/** How an entry of one verb is corrected. Both answer `undefined` where the entry that is meant is not of this verb. */
export interface Correctable {
  readonly decide: (ask: Ask<'correct'>) => Outcome<TakenOf<'correct'>> | undefined;
  /** Puts the right value in the place of the old one, which stays struck with its time and person. */
  readonly strike: (
    draft: JobDraft,
    entry: EntryOf<'correct'>,
    job: JobState,
  ) => { readonly step?: string } | undefined;
}

/** The ask for a command; an unreadable time, or one that is still to come, is a usage fault. */
export const askOf = <V extends JobVerb>(
  job: JobState,
  command: CommandOf<V>,
  around: Surroundings,
): Outcome<Ask<V>> => {
  const at = parseInstant(command.at);
  const when = parseInstant(happened(command));
  if (!at.ok) return at;
  if (!when.ok) return when;
  if (when.value.ms > at.value.ms)
    return err(usage('when-ahead', `${happened(command)} has not come yet`, 'give the time at which it happened'));
  const { ms, offset } = when.value;
  const named = 'with' in command.data ? (command.data.with as readonly string[]) : [];
  const moment: Moment = { around, ms, offset, by: command.by, with: named };
  return ok({ job, command, data: command.data, when: happened(command), moment });
};

interface Told {
  readonly also?: readonly string[];
  readonly verdict?: EntryVerdict | undefined;
  readonly told?: readonly string[];
}

type Added<V extends JobVerb> = DerivedOf<V> & Partial<AskedOf<V>>;
/** True where the engine adds nothing that the verb's entry must have. */
type NeedsNothing<V extends JobVerb> = Partial<DerivedOf<V>> extends DerivedOf<V> ? true : false;
type Extra<V extends JobVerb> =
  NeedsNothing<V> extends true ? Told & { readonly data?: Added<V> } : Told & { readonly data: Added<V> };

/**
 * Taken, unless a refusal stands that no departure overrules; of several the one that the precedence names.
 * @param extra what the engine adds to the entry, who else signs it, and what to say about it.
 */
export const takeUnless = <V extends JobVerb>(
  ask: Ask<V>,
  step: Step | undefined,
  refusals: readonly Refusal[],
  ...[extra]: NeedsNothing<V> extends true ? [extra?: Extra<V>] : [extra: Extra<V>]
): Outcome<TakenOf<V>> => {
  const used = refusals.map((one) => ({ refused: one, departure: departureFor(ask.job, one.code, step) }));
  const first = firstRefusal(used.filter((one) => !one.departure).map((one) => one.refused));
  if (first) return err(first);
  const departures = [...new Set(used.flatMap((one) => (one.departure ? [one.departure.entry] : [])))];
  const data = { ...(ask.data as object), ...extra?.data, ...(departures.length > 0 ? { departures } : {}) };
  // What was asked and what the engine adds are together what the verb's entry holds; the compiler cannot add them up for any verb.
  const taken = {
    type: ask.command.verb,
    data: data as unknown,
    also: extra?.also ?? [],
    told: [
      ...(extra?.told ?? []),
      ...used.flatMap(({ refused, departure }) => (departure ? [`departed from: ${refused.what}`] : [])),
    ],
    ...(extra?.verdict === undefined ? {} : { verdict: extra.verdict }),
  };
  return ok(taken as TakenOf<V>);
};

const unknownHere = (kind: string, id: string, known: readonly string[]): Fault =>
  unknownId(`no ${kind} '${id}' in this job`, id, known);

export const stepNamed = ({ job }: Pick<Ask, 'job'>, id: string): Outcome<Step> => {
  const step = stepOf(job.plan, id);
  const known = job.plan.steps.map((one) => one.step);
  return step ? ok(step) : err(unknownHere('step', id, known));
};

/** A gate must be one of the build's, where the build names any. */
export const gateFault = ({ moment }: Pick<Ask, 'moment'>, gate: string): Fault | undefined => {
  const { gates } = moment.around;
  return gates.length === 0 || gates.includes(gate) ? undefined : unknownId(`no gate '${gate}'`, gate, gates);
};
