import { err, refusal, type Fault, type Outcome } from '../../fault/fault.ts';
import { corrected, timeField, type Corrected } from '../../job/acts/corrected.ts';
import { msOf } from '../../job/cure.ts';
import type { EntryOf } from '../../job/entry.ts';
import type { Struck } from '../../job/stamp.ts';
import type { BuildVerb } from '../../job/verbs.ts';
import { parseInstant, printInstant } from '../../quantity/time.ts';
import type { BuildState } from '../state.ts';
import { taken, type BuildCorrectable } from './act.ts';

type Fields = Readonly<Record<string, unknown>>;

/** One entry of the build as it stands. */
export interface Standing {
  readonly entry: string;
  readonly at: string;
  readonly when: string;
  readonly by: string;
  /** The place or the tool that it is about. */
  readonly about: string;
  readonly said: Fields;
}

interface Row {
  readonly verb: BuildVerb;
  readonly fields: readonly string[];
  /** The field that a bare value means. */
  readonly bare: string;
  readonly find: (state: BuildState, target: string) => Standing | undefined;
  readonly fault: (state: BuildState, now: Fields, was: Fields) => Fault | undefined;
  /** Puts what the entry should have said in the place of what it said. @param when RFC 3339; absent where the time was right. */
  readonly put: (state: BuildState, standing: Standing, now: Fields, when: string | undefined) => BuildState;
}

const change = ({ verb, fields, bare }: Row, standing: Standing, value: EntryOf<'correct'>['data']['value']) =>
  corrected(verb, { fields, bare: () => bare }, standing.said, value);

const timeFault = ({ at }: Standing, when: string | undefined): Fault | undefined => {
  const read = when === undefined ? undefined : parseInstant(when);
  if (read === undefined) return undefined;
  if (!read.ok) return read.fault;
  return read.value.ms <= msOf(at) + 60_000
    ? undefined
    : refusal(
        'when-ahead',
        `${printInstant(read.value.ms, read.value.offset)} is after the entry was written, ${at}`,
        'give the time at which it happened',
      );
};

const struckText = ({ when }: Standing, { old, when: right }: Corrected): string =>
  [old, right === undefined ? '' : `${timeField} ${when}`].filter((text) => text !== '').join(', ');

const struckLine = (verb: BuildVerb, standing: Standing, entry: EntryOf<'correct'>, right: Corrected): Struck => ({
  entry: standing.entry,
  type: verb,
  at: standing.at,
  when: standing.when,
  by: standing.by,
  about: standing.about,
  value: struckText(standing, right),
  right: [right.right, right.when === undefined ? '' : `${timeField} ${right.when}`]
    .filter((text) => text !== '')
    .join(', '),
  ...(right.when === undefined ? {} : { rightWhen: right.when }),
  reason: entry.data.reason,
  struckBy: entry.by,
  struckAt: entry.at,
  struckEntry: entry.id,
});

/** Corrects an entry that belongs to the whole build, whichever job sends the correction. */
export const correctsInBuild = (row: Row): BuildCorrectable => ({
  has: (state, target) => row.find(state, target) !== undefined,
  decide: (ask) => {
    const standing = row.find(ask.state, ask.data.entry);
    if (!standing) return taken(ask, {});
    const right = change(row, standing, ask.data.value);
    if (!right.ok) return right;
    const { now, when } = right.value;
    const fault = timeFault(standing, when) ?? row.fault(ask.state, now, standing.said);
    return fault ? err(fault) : taken(ask, { entry: standing.entry }, [`struck: ${struckText(standing, right.value)}`]);
  },
  evolve: (state, entry) => {
    const standing = row.find(state, entry.data.entry);
    const right: Outcome<Corrected> | undefined = standing && change(row, standing, entry.data.value);
    if (!standing || right?.ok !== true) return state;
    const after = row.put(state, standing, right.value.now, right.value.when);
    return { ...after, struck: [...after.struck, struckLine(row.verb, standing, entry, right.value)] };
  },
});
