import { firstRefusal, type RefusalCode } from '../../fault/codes.ts';
import { err, ok, type Fault, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Step } from '../../procedure/model.ts';
import { stepOf, type Plan } from '../../procedure/plan.ts';
import { parseInstant } from '../../quantity/time.ts';
import { aheadSaid } from '../ahead-said.ts';
import { canBeWritten, isOffered } from '../breach.ts';
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
import type { Correctable, NotCorrected } from './correctable.ts';

/** One command for one job, with what deciding it needs to know. */
export interface Ask<V extends JobVerb = JobVerb> {
  readonly job: JobState;
  readonly command: CommandOf<V>;
  readonly data: AskedOf<V>;
  /** When it happened: the time that rules use. */
  readonly when: string;
  readonly moment: Moment;
  /** What refuses the time at which it happened. */
  readonly early: readonly Refusal[];
}

/** The parts of an `Ask` that do not depend on its verb. */
export type AskedJob = Pick<Ask, 'job' | 'moment'>;

/** An act before it is done, as far as it is known. */
export interface Intended<V extends JobVerb = JobVerb> extends AskedJob {
  readonly data: Partial<AskedOf<V>>;
  /** Names of the fields that are still to be answered. Nothing that depends on them alone refuses the act yet. */
  readonly open: ReadonlySet<string>;
}

/** What would refuse an act, and the step for which a departure may overrule it. */
export interface Foreseen {
  readonly step: Step | undefined;
  readonly refusals: readonly Refusal[];
}

/** For an act of which everything is known: its decider asks the same question as whoever looks ahead. */
export const nothingOpen: ReadonlySet<string> = new Set();

/** Everything that the program knows about one verb of a job. */
export interface Act<V extends JobVerb> {
  readonly decide: (ask: Ask<V>) => Outcome<TakenOf<V>>;
  /**
   * What would refuse the act, of what is known so far. `decide` asks it once everything is known, the bench before the hand moves. Absent
   * for a verb that is refused only by what its own fields say.
   */
  readonly foresee?: (intended: Intended<V>) => Foreseen;
  /** Changes the draft of the job as the entry says. Never refuses, because a written entry is never refused. */
  readonly evolve: (draft: JobDraft, entry: EntryOf<V>, job: JobState) => void;
  /** What was entered, in a few words, for the person who entered it; `undefined` where nothing needs to be said. */
  readonly words: (data: DataOf<V>) => string | undefined;
  /** How its entries are corrected, or what to do instead. */
  readonly correct: Correctable<V> | NotCorrected;
}

/** `move` has no `evolve` of this kind, because it puts the whole job on another plan. */
export interface MoveAct extends Omit<Act<'move'>, 'evolve'> {
  readonly move: (job: JobState, entry: EntryOf<'move'>, plan: Plan) => JobState;
}

/** The ask for a command. A time that cannot be read is a usage fault. */
export const askOf = <V extends JobVerb>(
  job: JobState,
  command: CommandOf<V>,
  around: Surroundings,
): Outcome<Ask<V>> => {
  const when = parseInstant(happened(command));
  if (!when.ok) return when;
  const { ms, offset } = when.value;
  const named = 'with' in command.data ? (command.data.with as readonly string[]) : [];
  const moment: Moment = { around, ms, offset, by: command.by, with: named };
  return ok({ job, command, data: command.data, when: happened(command), moment, early: [] });
};

interface Told {
  readonly also?: readonly string[];
  readonly verdict?: EntryVerdict | undefined;
  readonly told?: readonly string[];
}

type Added<V extends JobVerb> = DerivedOf<V> & Partial<AskedOf<V>>;
/** True where the engine has nothing to add that an entry of the verb must have. */
type NeedsNothing<V extends JobVerb> = Partial<DerivedOf<V>> extends DerivedOf<V> ? true : false;
type Extra<V extends JobVerb> =
  NeedsNothing<V> extends true ? Told & { readonly data?: Added<V> } : Told & { readonly data: Added<V> };

/** What follows from work that a rule refused and that was done all the same. */
const toldOfBreach = ({ plan }: JobState, refusals: readonly Refusal[]): readonly string[] => [
  ...new Set(refusals.map(({ what }) => `nonconformance: ${what}`)),
  plan.strict
    ? 'It counts for nothing. The procedure is strict: dispose of it by rework or scrap.'
    : 'It counts for nothing until you dispose of it: rework, repair, use-as-is or scrap.',
];

const saysDone = (data: object): boolean => 'done' in data && data.done !== undefined;

interface Standing {
  readonly refused?: Refusal;
  /** The codes that refuse what has been done already, and is written down all the same. */
  readonly written: readonly RefusalCode[];
}

/** What remains of some refusals where somebody says that the act is done already (`done`). */
const standingOf = ({ command, data }: Ask, step: Step | undefined, refusals: readonly Refusal[]): Standing => {
  const mayBeWritten = ({ code }: Refusal): boolean => canBeWritten(command.verb, step, code);
  const isDone = saysDone(data);
  const first = firstRefusal(isDone ? refusals.filter((one) => !mayBeWritten(one)) : refusals);
  if (first) {
    const isOpen =
      !isDone &&
      isOffered(
        command.verb,
        step,
        refusals.map(({ code }) => code),
      );
    return { refused: isOpen ? { ...first, mayBeDone: true } : first, written: [] };
  }
  return { written: [...new Set(refusals.map(({ code }) => code))] };
};

/**
 * Accepts a command, unless a refusal applies that no departure overrules and that is not written down as done. Of several refusals, the one that is first in the order of
 * precedence is returned.
 * @param extra what the engine adds to the entry, who else signs it, and what to say about it.
 */
export const takeUnless = <V extends JobVerb>(
  ask: Ask<V>,
  step: Step | undefined,
  refusals: readonly Refusal[],
  ...[extra]: NeedsNothing<V> extends true ? [extra?: Extra<V>] : [extra: Extra<V>]
): Outcome<TakenOf<V>> => {
  const used = [...refusals, ...ask.early].map((one) => ({
    refused: one,
    departure: departureFor(ask.job, one.code, step),
  }));
  const open = used.filter((one) => !one.departure).map((one) => one.refused);
  const { refused, written } = standingOf(ask as unknown as Ask, step, open);
  if (refused) return err(refused);
  const departures = [...new Set(used.flatMap((one) => (one.departure ? [one.departure.entry] : [])))];
  const data = {
    ...(ask.data as object),
    ...extra?.data,
    ...aheadSaid(ask.job, ask.command.verb, ask.data, ask.moment.around),
    ...(departures.length > 0 ? { departures } : {}),
    ...(written.length > 0 ? { refused: written } : {}),
  };
  // What was asked and what the engine adds are together what the entry of the verb holds. The compiler cannot combine the two types for a
  // verb that it does not know.
  const taken = {
    type: ask.command.verb,
    data: data as unknown,
    also: extra?.also ?? [],
    told: [
      ...(extra?.told ?? []),
      ...used.flatMap((one) => (one.departure ? [`departed from: ${one.refused.what}`] : [])),
      ...(written.length > 0 ? toldOfBreach(ask.job, open) : []),
      ...(written.length === 0 && saysDone(ask.data) ? ['No rule refuses it: entered as usual.'] : []),
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

/** A gate must be one that the build names, where the build names any. */
export const gateFault = ({ moment }: Pick<Ask, 'moment'>, gate: string): Fault | undefined => {
  const { gates } = moment.around;
  return gates.length === 0 || gates.includes(gate) ? undefined : unknownId(`no gate '${gate}'`, gate, gates);
};
