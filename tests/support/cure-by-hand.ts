import Fraction from 'fraction.js';
import type { Entry } from '../../src/job/entry.ts';

/*
 * A cure worked out by hand from the lines of a journal, without any of the program's own arithmetic: the sentences of the design, one by
 * one, slowly. "At any instant counts the coldest that any entry says of it." Clocks that were in doubt and curves (`between: arrhenius`)
 * are left out.
 */

/** The page's words about a cure. Temperatures in °C, times in ms. */
export interface CurePage {
  readonly floor: number;
  /** `reading-every`; Infinity where the page says none. */
  readonly longest: number;
  readonly stages: readonly {
    readonly stage: string;
    readonly points: readonly { readonly at: number; readonly takes: number }[];
  }[];
}

/** One temperature of a place, as an entry or a row of a logger says it. Times in ms since 1970. */
export interface SaidTemperature {
  readonly entry: string;
  readonly when: number;
  /** In millionths of a degree Celsius. */
  readonly warmth: number;
  readonly lowest?: { readonly warmth: number; readonly since: number };
}

/** Where the journal's entries belong, and what is in the files that they name. */
export interface Surrounding {
  /** The place of an entry that was made in a job (mix, shop); '' is the unnamed place. */
  readonly placeOf?: (entry: Entry) => string;
  /** The rows of a logger's file that an entry imports: time (ms since 1970), temperature, lowest since the row before (°C). */
  readonly rowsOf?: (entry: Entry) => readonly (readonly [when: number, celsius: number, lowest?: number])[];
}

const millionths = (celsius: number): number => Math.round(celsius * 1e6);

/** `18.5 °C`, `18.5`, `65 °F`. */
const warmthOf = (text: string): number => {
  const parts = /^\s*(-?[\d.]+)\s*°?\s*([CFK]?)\s*$/.exec(text);
  if (!parts) throw new RangeError(`${text} is not a temperature`);
  const [number, unit] = [Number(parts[1]), parts[2]];
  if (unit === 'F') return millionths(((number - 32) * 5) / 9);
  return millionths(unit === 'K' ? number - 273.15 : number);
};

const instant = (text: string): number => Date.parse(text);

const typedBy = (entry: Entry, { placeOf = () => '' }: Surrounding, place: string): readonly SaidTemperature[] => {
  const when = instant(entry.when ?? entry.at);
  const plain = (text: string | undefined): readonly SaidTemperature[] =>
    text === undefined ? [] : [{ entry: entry.id, when, warmth: warmthOf(text) }];
  if (entry.type === 'temperature') {
    const { temperature, lowest, since, place: said = '' } = entry.data;
    if (said !== place) return [];
    if (lowest === undefined || since === undefined) return plain(temperature);
    return plain(temperature).map((one) => ({ ...one, lowest: { warmth: warmthOf(lowest), since: instant(since) } }));
  }
  if ((entry.type === 'mix' || entry.type === 'shop') && placeOf(entry) === place)
    return [...plain(entry.data.temperature), ...(entry.type === 'shop' ? plain(entry.data.surface) : [])];
  return [];
};

const loggedBy = (entry: Entry, { rowsOf = () => [] }: Surrounding, place: string): readonly SaidTemperature[] => {
  if (entry.type !== 'temperatures' || (entry.data.place ?? '') !== place) return [];
  const rows = rowsOf(entry).toSorted(([one], [other]) => one - other);
  return rows.map(([when, celsius, lowest]) => {
    const before = rows.findLast(([other]) => other < when)?.[0];
    return {
      entry: entry.id,
      when,
      warmth: millionths(celsius),
      ...(lowest === undefined || before === undefined
        ? {}
        : { lowest: { warmth: millionths(lowest), since: before } }),
    };
  });
};

/** A corrected reading keeps its minimum, unless the right value is below it. */
const correctedTo = (one: SaidTemperature, warmth: number): SaidTemperature => {
  const { lowest, ...rest } = one;
  return lowest !== undefined && lowest.warmth <= warmth ? { ...rest, warmth, lowest } : { ...rest, warmth };
};

/** What the journal says of the temperatures of a place, corrections applied. */
export const temperaturesByHand = (
  entries: readonly Entry[],
  place = '',
  around: Surrounding = {},
): readonly SaidTemperature[] => {
  let said: readonly SaidTemperature[] = [];
  const files = new Map<string, string>();
  for (const entry of entries) {
    if (entry.type === 'temperatures') files.set(entry.data.file, entry.id);
    if (entry.type === 'correct') {
      const { entry: named, value } = entry.data;
      const target = files.get(named) ?? named;
      if (typeof value === 'string')
        said =
          value === 'none'
            ? said.filter((one) => one.entry !== target)
            : said.map((one) => (one.entry === target ? correctedTo(one, warmthOf(value)) : one));
      else if (value['temperature'] !== undefined) {
        const right = warmthOf(String(value['temperature']));
        said = said.map((one) => (one.entry === target ? correctedTo(one, right) : one));
      }
    }
    said = [...said, ...typedBy(entry, around, place), ...loggedBy(entry, around, place)];
  }
  return said;
};

/** The coldest that is said of one instant between the readings, and whether the time around it counts at all. */
const saidOf = (
  said: readonly SaidTemperature[],
  t: number,
  longest: number,
): { readonly cold: number; readonly known: boolean } => {
  const at = (when: number): number =>
    Math.min(...said.filter((one) => one.when === when).map((one) => one.warmth), Infinity);
  const before = Math.max(...said.filter((one) => one.when < t).map((one) => one.when), -Infinity);
  const after = Math.min(...said.filter((one) => one.when > t).map((one) => one.when), Infinity);
  const minima = said.flatMap(({ when, lowest }) =>
    lowest !== undefined && lowest.since < t && t < when ? [Math.min(lowest.warmth, at(lowest.since), at(when))] : [],
  );
  const isBetween = before !== -Infinity && after !== Infinity;
  const neighbours = isBetween ? [at(before), at(after)] : [];
  return {
    cold: Math.min(...neighbours, ...minima),
    known: minima.length > 0 || (isBetween && after - before <= longest),
  };
};

export interface CureByHand {
  /** Clock time since the beginning, ms. */
  readonly clock: number;
  readonly stages: readonly {
    readonly stage: string;
    /** Time that counted at each point, ms, in the order of the points from cold to hot. */
    readonly atPoints: readonly number[];
    /** Whole percent, rounded down. */
    readonly percent: number;
    readonly reached: boolean;
  }[];
}

/**
 * The cure at an instant, by the temperatures that the journal says.
 * @param begun when it began, ms since 1970; `undefined` where it has not.
 * @param at the instant, ms since 1970.
 */
export const cureByHand = (
  page: CurePage,
  said: readonly SaidTemperature[],
  begun: number | undefined,
  at: number,
): CureByHand => {
  const edges = said.flatMap(({ when, lowest }) => [when, ...(lowest ? [lowest.since] : [])]);
  const inside =
    begun === undefined || at <= begun ? [] : [begun, ...edges.filter((one) => one > begun && one < at), at];
  // Between two neighbouring edges every sentence says the same of every instant, so one instant speaks for all.
  const times = [...new Set(inside)].toSorted((one, other) => one - other);
  const pieces = times.flatMap((to, index) => {
    const from = times[index - 1];
    if (from === undefined) return [];
    const { cold, known } = saidOf(said, (from + to) / 2, page.longest);
    return known && cold >= millionths(page.floor) ? [{ ms: to - from, cold }] : [];
  });
  return {
    clock: begun === undefined ? 0 : Math.max(0, at - begun),
    stages: page.stages.map(({ stage, points }) => {
      const rising = points.toSorted((one, other) => one.at - other.at);
      const atPoints = rising.map(() => 0);
      let progress = new Fraction(0);
      for (const { ms, cold } of pieces) {
        const index = rising.findLastIndex((point) => millionths(point.at) <= cold);
        const point = rising[index];
        if (!point) continue;
        atPoints[index] = (atPoints[index] ?? 0) + ms;
        progress = progress.add(new Fraction(ms, point.takes));
      }
      const reached = progress.compare(1) >= 0;
      return { stage, atPoints, percent: reached ? 100 : Number(progress.mul(100).floor()), reached };
    }),
  };
};

/** When the cure of some steps began: the last of their finishes that no later undo took back; `undefined` where one is open. */
export const begunByHand = (entries: readonly Entry[], job: string, steps: readonly string[]): number | undefined => {
  const finishes = steps.map((step) => {
    const about = entries.filter(
      (entry) => entry.job === job && (entry.type === 'finish' || entry.type === 'undo') && entry.data.step === step,
    );
    const last = about.at(-1);
    return last?.type === 'finish' ? instant(last.when ?? last.at) : undefined;
  });
  return finishes.length === 0 || finishes.some((one) => one === undefined)
    ? undefined
    : Math.max(...finishes.flatMap((one) => one ?? []));
};
