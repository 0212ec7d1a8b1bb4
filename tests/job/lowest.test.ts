import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Data } from '../../src/job/entry.ts';
import { printInstant } from '../../src/quantity/time.ts';
import {
  begunByHand,
  cureByHand,
  temperaturesByHand,
  type CureByHand,
  type CurePage,
  type Surrounding,
} from '../support/cure-by-hand.ts';
import type { Engine } from '../support/engine.ts';
import { bond, cureIn, toCure } from './fixtures.ts';

const minute = 60_000;
const hour = 60 * minute;
const begun = Date.parse('2026-03-02T12:00:00+01:00');
const end = '2026-03-09T12:00:00+01:00';

/** Hours after the beginning of the cure. */
const after = (hours: number): string => printInstant(begun + Math.round(hours * 60) * minute, 60);

const every12 = bond.replace('floor: 18 °C', 'floor: 18 °C, reading-every: 12 h');

/** Takes a temperature as of so many hours after the beginning. */
const warm = (engine: Engine, hours: number, celsius: string, more: Data = {}): Engine => {
  engine.says('temperature', `${celsius} °C`, more, after(hours)).taken();
  return engine;
};

const night = (yaml = every12): Engine => toCure(yaml).at(end);

const counted = (engine: Engine): number => (cureIn(engine.state(), end).stages[0]?.countedMs ?? -1) / hour;

describe('a minimum from a max-min thermometer', () => {
  it('never overrules a colder reading at its own start', () => {
    expect(counted(warm(warm(night(), 0, '5'), 24, '22', { lowest: '20 °C' }))).toBe(0);
  });

  it('counts the hours between two readings, however long, at the coldest of the three', () => {
    expect(counted(warm(warm(night(), 0, '20'), 24, '22'))).toBe(0);
    expect(counted(warm(warm(night(), 0, '20'), 24, '22', { lowest: '18.5 °C' }))).toBe(24);
    expect(counted(warm(warm(night(), 0, '20'), 24, '22', { lowest: '17.9 °C' }))).toBe(0);
  });

  it('speaks since the latest temperature before it, and the entry keeps that instant', () => {
    const engine = warm(warm(warm(night(), 0, '20'), 10, '20'), 30, '22', { lowest: '19 °C' });
    expect(engine.entries().at(-1)?.data).toMatchObject({ since: after(10) });
    warm(engine, 5, '20');
    expect(engine.entries().at(-1)?.data).not.toHaveProperty('since');
    expect(counted(engine)).toBe(30);
  });

  it('speaks since a row of a logger where that is the latest', () => {
    const engine = night();
    const rows = `time,temp (C)\n${after(0)},20\n${after(8)},20\n`;
    engine.says('temperatures', 'a.csv', engine.log(rows)).taken();
    warm(engine, 26, '21', { lowest: '19 °C' });
    expect(engine.entries().at(-1)?.data).toMatchObject({ since: after(8) });
    expect(counted(engine)).toBe(26);
    engine.says('correct', 'a.csv', { value: 'none', reason: 'the other shop' }).taken();
    // What the minimum says stays as it was entered: from the eighth hour to the twenty-sixth.
    expect(counted(engine)).toBe(18);
  });

  it('says nothing of the hours before it where there is no temperature before it, and says so', () => {
    const engine = night();
    const told = engine.says('temperature', '20 °C', { lowest: '19 °C', place: 'loft' }, after(4)).taken().told;
    expect(told).toEqual([expect.stringContaining('counts for no time')]);
    expect(engine.entries().at(-1)?.data).toMatchObject({ since: after(4) });
  });

  it('speaks since an instant that the person gives, not after the reading itself', () => {
    const engine = night();
    engine.says('temperature', '20 °C', { lowest: '19 °C', since: after(5) }, after(4)).wrong('value-unreadable');
    engine.says('temperature', '20 °C', { since: after(2) }, after(4)).wrong('field-missing');
    engine.says('temperature', '20 °C', { lowest: '20.1 °C', since: after(2) }, after(4)).wrong('value-unreadable');
    warm(engine, 30, '20', { lowest: '19 °C', since: after(10) });
    // The mix had its own temperature, ten minutes before the beginning; from then to the thirtieth hour is longer than 12 h.
    expect(counted(engine)).toBe(20);
  });

  it('leaves the hours before since as they are', () => {
    const engine = warm(warm(night(), 0, '19'), 10, '20', { lowest: '17 °C', since: after(6) });
    expect(counted(engine)).toBe(6);
  });

  it('keeps its hours, cooled, when a reading is entered later between them', () => {
    const engine = warm(warm(night(), 0, '20'), 40, '22', { lowest: '19 °C' });
    expect(counted(engine)).toBe(40);
    expect(counted(warm(engine, 15, '25'))).toBe(40);
    expect(counted(warm(engine, 15, '18'))).toBe(40);
    // It cools the parts to both of its neighbours: from the fifteenth hour to the fortieth.
    expect(counted(warm(engine, 20, '17'))).toBe(15);
  });

  it('is dropped where the reading is corrected to a colder one', () => {
    const engine = warm(warm(night(), 0, '20'), 24, '22', { lowest: '20 °C' });
    const entry = engine.entries().at(-1)?.id ?? '';
    engine.says('correct', entry, { value: '19 °C', reason: 'misread' }).taken();
    expect(counted(engine)).toBe(0);
  });
});

/** One thing that may be entered about the temperature of the place. Times are in quarters of an hour after the beginning. */
type Said =
  | {
      readonly is: 'typed';
      readonly at: number;
      readonly tenths: number;
      readonly below?: number;
      readonly since?: number;
    }
  | { readonly is: 'log'; readonly rows: readonly (readonly [at: number, tenths: number, below: number | undefined])[] }
  | { readonly is: 'correct'; readonly which: number; readonly tenths: number }
  | { readonly is: 'strike'; readonly which: number };

const quarter = fc.integer({ min: -8, max: 400 });
const tenths = fc.integer({ min: 150, max: 260 });
const maybe = <T>(of: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(of, { nil: undefined });
const below = maybe(fc.integer({ min: 0, max: 40 }));

const sayings: fc.Arbitrary<readonly Said[]> = fc.array(
  fc.oneof(
    {
      weight: 6,
      arbitrary: fc.record({ is: fc.constant('typed' as const), at: quarter, tenths, below, since: maybe(quarter) }),
    },
    {
      weight: 2,
      arbitrary: fc.record({
        is: fc.constant('log' as const),
        rows: fc.array(fc.tuple(quarter, tenths, below), { minLength: 1, maxLength: 8 }),
      }),
    },
    { weight: 1, arbitrary: fc.record({ is: fc.constant('correct' as const), which: fc.nat(20), tenths }) },
    { weight: 1, arbitrary: fc.record({ is: fc.constant('strike' as const), which: fc.nat(5) }) },
  ),
  { minLength: 1, maxLength: 14 },
) as fc.Arbitrary<readonly Said[]>;

const degrees = (of: number): string => (of / 10).toFixed(1);
const csvOf = (rows: Extract<Said, { is: 'log' }>['rows']): string =>
  [
    'time,temp (C),min temp (C)',
    ...rows.map(([at, warmth, less]) =>
      [after(at / 4), degrees(warmth), less === undefined ? '' : degrees(warmth - less)].join(','),
    ),
  ].join('\n');

interface Walked {
  readonly engine: Engine;
  readonly around: Surrounding;
}

const walked = (all: readonly Said[]): Walked => {
  const engine = night(twoPoints);
  const files = new Map<string, Extract<Said, { is: 'log' }>['rows']>();
  for (const [index, one] of all.entries()) {
    if (one.is === 'typed') {
      const since =
        one.below === undefined || one.since === undefined || one.since > one.at ? {} : { since: after(one.since / 4) };
      const lowest = one.below === undefined ? {} : { lowest: `${degrees(one.tenths - one.below)} °C` };
      engine.says('temperature', `${degrees(one.tenths)} °C`, { ...lowest, ...since }, after(one.at / 4)).taken();
    } else if (one.is === 'log') {
      files.set(`${index}.csv`, one.rows);
      engine.says('temperatures', `${index}.csv`, engine.log(csvOf(one.rows))).taken();
    } else if (one.is === 'correct') {
      const typed = engine.entries().filter(({ type }) => type === 'temperature');
      const entry = typed[one.which % Math.max(typed.length, 1)]?.id;
      if (entry !== undefined)
        engine.says('correct', entry, { value: `${degrees(one.tenths)} °C`, reason: 'misread' }).taken();
    } else {
      const name = [...files.keys()][one.which];
      if (name !== undefined) engine.says('correct', name, { value: 'none', reason: 'the other shop' }).fault();
    }
  }
  return {
    engine,
    around: {
      rowsOf: (entry) =>
        (entry.type === 'temperatures' ? (files.get(entry.data.file) ?? []) : []).map(
          ([at, warmth, less]) =>
            [Date.parse(after(at / 4)), warmth / 10, less === undefined ? undefined : (warmth - less) / 10] as const,
        ) as ReturnType<NonNullable<Surrounding['rowsOf']>>,
    },
  };
};

const page: CurePage = {
  floor: 18,
  longest: 12 * hour,
  stages: [
    {
      stage: 'handle',
      points: [
        { at: 18, takes: 30 * hour },
        { at: 21, takes: 20 * hour },
      ],
    },
    { stage: 'full', points: [{ at: 18, takes: 70 * hour }] },
  ],
};

const twoPoints = every12.replace(
  'stages: { handle: 18 h at 18 °C, full: 7 d at 18 °C }',
  'stages: { handle: [30 h at 18 °C, 20 h at 21 °C], full: 70 h at 18 °C }',
);

const byHand = ({ engine, around }: Walked, at: number): CureByHand => {
  const entries = engine.entries();
  return cureByHand(page, temperaturesByHand(entries, '', around), begunByHand(entries, engine.job().id, ['bond']), at);
};

const byEngine = (engine: Engine, at: number): Omit<CureByHand, 'clock'> & { readonly clock: number } => {
  const now = cureIn(engine.state(), printInstant(at, 60));
  return {
    clock: now.clockMs,
    stages: now.stages.map(({ stage, atPoints, percent, reached }) => ({
      stage,
      atPoints: atPoints.map(({ ms }) => ms),
      percent,
      reached,
    })),
  };
};

describe('laws of minima', () => {
  it('at any instant counts the coldest that any entry says of it', () => {
    fc.assert(
      fc.property(
        sayings,
        fc.array(fc.integer({ min: -30, max: 7200 }), { minLength: 1, maxLength: 4 }),
        (all, minutes) => {
          const made = walked(all);
          for (const after_ of minutes) {
            const at = begun + after_ * minute;
            expect(byEngine(made.engine, at)).toEqual(byHand(made, at));
          }
        },
      ),
    );
  });

  it('count the same in whatever order the same entries come, once each has its since', () => {
    fc.assert(
      fc.property(sayings, fc.array(fc.nat(1000), { minLength: 14, maxLength: 14 }), (all, order) => {
        const typed = all.filter((one) => one.is === 'typed');
        const first = walked(typed).engine;
        const entries = first.entries().filter(({ type }) => type === 'temperature');
        const other = night(twoPoints);
        for (const { data, when } of entries
          .toSorted((_one, _other) => 0)
          .toSorted((one, two) => {
            const place = (entry: typeof one): number => order[entries.indexOf(entry)] ?? 0;
            return place(one) - place(two);
          })) {
          const { temperature, ...rest } = data as { readonly temperature: string };
          other.says('temperature', temperature, rest, when).taken();
        }
        expect(byEngine(other, Date.parse(end))).toEqual(byEngine(first, Date.parse(end)));
      }),
      { numRuns: 60 },
    );
  });

  it('never count more after a colder reading at an instant that was known, or inside what a minimum speaks of', () => {
    fc.assert(
      fc.property(sayings, fc.nat(1000), fc.nat(1000), (all, which, share) => {
        const { engine } = walked(all.filter((one) => one.is === 'typed'));
        const typed = engine.entries().flatMap((entry) => (entry.type === 'temperature' ? [entry] : []));
        const one = typed[which % Math.max(1, typed.length)];
        if (one === undefined) return;
        const when = Date.parse(one.when ?? one.at);
        const from = one.data.since === undefined ? when : Date.parse(one.data.since);
        const at = from + Math.floor(((when - from) * (share % 100)) / 100 / minute) * minute;
        const was = cureIn(engine.state(), end).stages;
        engine.says('temperature', '15 °C', {}, printInstant(at, 60)).taken();
        for (const [index, stage] of cureIn(engine.state(), end).stages.entries())
          expect(stage.progress).toBeLessThanOrEqual(was[index]?.progress ?? -1);
      }),
      { numRuns: 60 },
    );
  });
});
