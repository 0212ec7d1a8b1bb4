import type { Data } from '../../src/job/entry.ts';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { evolveRaw } from '../support/entries.ts';
import { serialize, restore } from '../../src/aircraft/snapshot.ts';
import { emptyBuild, type BuildState } from '../../src/aircraft/state.ts';
import type { CureNow } from '../../src/job/cure.ts';
import { potLifeNow } from '../../src/job/potlife.ts';
import { printInstant } from '../../src/quantity/time.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, cureIn, toCure } from './fixtures.ts';

const hour = 3_600_000;

const countedIn = (engine: Engine, at: string): number => cureIn(engine.state(), at).stages[0]?.countedMs ?? -1;

const coldNight = readFileSync('tests/scripts/logs/keel-cold-night.csv');
const csv = (rows: readonly (readonly [at: string, celsius: string])[]): string =>
  `time,temp (C)\n${rows.map((row) => row.join(',')).join('\n')}\n`;

describe('importing a log', () => {
  it('counts 18 of 38 clock hours where the night was cold', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    const taken = engine.says('temperatures', 'keel-cold-night.csv', engine.log(coldNight)).taken();
    expect(taken.data).toMatchObject({
      rows: 7,
      first: '2026-03-02T12:00:00+01:00',
      last: '2026-03-04T02:00:00+01:00',
      read: { times: 'without offset', offset: '+01:00', column: '2', unit: '°C' },
    });
    const now = cureIn(engine.state(), '2026-03-04T02:00:00+01:00');
    expect(now.clockMs).toBe(38 * hour);
    expect(now.stages[0]?.countedMs).toBe(18 * hour);
    expect(now.intervals.map(({ counted, why, temperature }) => [why ?? counted, temperature])).toEqual([
      [true, '19 °C'],
      ['below the floor', '14.8 °C'],
      [true, '18.4 °C'],
    ]);
    engine.says('finish', 'cure').taken();
  });

  it('refuses a row that is still to come, names its line, and imports nothing', () => {
    const engine = toCure();
    engine.at('2026-03-04T01:58:59+01:00');
    const fault = engine.says('temperatures', 'night.csv', engine.log(coldNight)).refused('when-ahead');
    expect(fault.where).toBe('night.csv:9');
    expect(engine.state().logs).toEqual({});
    // The logger was set one hour ahead of the wall clock.
    engine.says('temperatures', 'night.csv', { ...engine.log(coldNight), offset: '+02:00' }).taken();
    engine.says('temperatures', 'night.csv', { ...engine.log(coldNight), offset: '2 h' }).wrong('offset-unreadable');
  });

  it('refuses while the clock is in doubt, because some rows may be still to come', () => {
    const engine = toCure();
    engine.at('2026-03-04T09:00:00+01:00').says('remark', 'late').taken();
    engine.at('2026-03-04T08:00:00+01:00');
    engine.says('temperatures', 'night.csv', engine.log(coldNight)).refused('clock');
  });

  it('strikes a wrong file as a whole; it stays readable, and its hours no longer count', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    const warm = csv([
      ['2026-03-02 11:00', '22'],
      ['2026-03-04 02:00', '22'],
    ]);
    engine.says('temperatures', 'other.csv', engine.log(warm)).taken();
    const mark = engine.state().logs['']?.[0];
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(38 * hour);
    engine.says('correct', 'other.csv', { value: '19 °C', reason: 'x' }).wrong('value-unreadable');
    engine.says('correct', 'other.csv', { value: 'none' }).wrong('field-missing');
    engine.says('correct', mark?.entry, { value: 'none', reason: 'another shop' }).taken();
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(0);
    expect(engine.state().logs['']?.[0]).toMatchObject({ count: 2, struck: { reason: 'another shop' } });
    engine.says('correct', mark?.entry, { value: 'none', reason: 'again' }).wrong('value-unreadable');
    // The same file may be imported again, for the right place.
    engine.says('temperatures', 'other.csv', { ...engine.log(warm), place: 'paint shop' }).taken();
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(0);
  });

  it('strikes the last import of a file that is named, in whatever places the others are', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    const warm = csv([
      ['2026-03-02 11:00', '22'],
      ['2026-03-04 02:00', '22'],
    ]);
    engine.says('temperatures', 'night.csv', engine.log(coldNight)).taken();
    engine.says('temperatures', 'other.csv', { ...engine.log(warm), place: 'paint shop' }).taken();
    engine.says('temperatures', 'other.csv', engine.log(warm)).taken();
    engine.says('correct', 'other.csv', { value: 'none', reason: 'it lay in the paint shop' }).taken();
    expect(engine.state().logs['']?.map(({ struck }) => struck !== undefined)).toEqual([false, true]);
    expect(engine.state().logs['paint shop']?.[0]?.struck).toBeUndefined();
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(18 * hour);
  });

  it('counts once what was imported twice, or again in a longer file of the same logger', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    engine.says('temperatures', 'night.csv', engine.log(coldNight)).taken();
    const again = engine.says('temperatures', 'night.csv', engine.log(coldNight)).taken();
    expect(again.told.at(-1)).toMatch(/the same file was imported as w:\d+; its rows count once/);
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(18 * hour);
    const struck = engine.says('correct', 'night.csv', { value: 'none', reason: 'another shop' }).taken();
    expect(struck.told.at(-1)).toMatch(/imported as w:\d+ too, and counts on/);
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(18 * hour);
    expect(engine.says('correct', 'night.csv', { value: 'none', reason: 'another shop' }).taken().told).toHaveLength(1);
    expect(countedIn(engine, '2026-03-04T02:00:00+01:00')).toBe(0);
  });

  it('opens a finished cure again when an import that it needed is struck', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    engine.says('temperatures', 'night.csv', engine.log(coldNight)).taken();
    engine.says('finish', 'cure').taken();
    engine.says('break', 'S-1', { result: 'held' }).taken();
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('correct', 'night.csv', { value: 'none', reason: 'another shop' }).taken();
    engine.says('complete').refused('nonconformance-open');
  });

  it('shortens a pot life by a logged heat, as by a typed one', () => {
    const engine = toCure();
    engine.at('2026-03-02T12:00:00+01:00');
    const life = (): number => {
      const job = engine.job();
      const at = Date.parse('2026-03-02T12:00:00+01:00');
      return (
        (potLifeNow(job, ['mix'], aroundOf(engine.state(), job, at), at)?.ends ?? 0) -
        Date.parse('2026-03-02T11:50:00+01:00')
      );
    };
    expect(life()).toBe(35 * 60_000);
    engine.says('temperatures', 'hot.csv', engine.log(csv([['2026-03-02 11:55', '28']]))).taken();
    expect(life()).toBe(20 * 60_000);
  });

  it('keeps its rows in a snapshot, and reads them only when asked', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    engine.says('temperatures', 'night.csv', engine.log(coldNight)).taken();
    const lines = serialize(engine.state());
    const asked = new Set<number>();
    const back = restore((number) => {
      asked.add(number);
      return lines[number] ?? '';
    });
    expect([...asked]).toEqual([0]);
    expect(cureIn(back, '2026-03-04T02:00:00+01:00').stages).toEqual(
      cureIn(engine.state(), '2026-03-04T02:00:00+01:00').stages,
    );
    expect(serialize(back)).toEqual(lines);
  });

  it('stops the fold with the name of a file that is missing', () => {
    const engine = toCure();
    engine.at('2026-03-04T02:00:00+01:00');
    engine.says('temperatures', 'night.csv', engine.log(coldNight)).taken();
    const last = engine.entries().at(-1);
    const after = last && evolveRaw(emptyBuild, last, { ...engine.library, log: engineWith([bond]).library.log });
    expect(after?.ok).toBe(false);
  });
});

describe('a cure counted by a curve between two points of its sheet', () => {
  // TM 1-1520-240-BD, cure table of a two-part structural adhesive: 24 h at 70 °F, 8 h at 120 °F; a third point is 11 h at 104 °F
  const fitted = bond.replace(
    'stages: { handle: 18 h at 18 °C, full: 7 d at 18 °C }, floor: 18 °C',
    'stages: { handle: [24 h at 70 °F, 8 h at 120 °F] }, floor: 60 °F, between: arrhenius',
  );
  const start = Date.parse('2026-03-02T12:00:00+01:00');
  const progress = (rows: readonly (readonly [hours: number, fahrenheit: string])[], yaml = fitted) => {
    const engine = toCure(yaml);
    engine.at('2026-03-09T12:00:00+01:00');
    const text = rows
      .map(([hours, warm]) => `${printInstant(start + Math.round(hours * hour), 60)},${warm}`)
      .join('\n');
    engine.says('temperatures', 'f.csv', engine.log(`time,temp (°F)\n${text}\n`)).taken();
    const stage = cureIn(engine.state(), '2026-03-09T12:00:00+01:00').stages[0];
    return { share: stage?.progress ?? -1, reached: stage?.reached, counted: (stage?.countedMs ?? -1) / hour };
  };
  const steady = (hours: number, warm: string, yaml = fitted) =>
    progress(
      [
        [0, warm],
        [hours, warm],
      ],
      yaml,
    );

  it('takes 11.13 h at the published third point, against the published 11 h; by the stated points the colder one’s 24 h', () => {
    expect(11.13 / steady(11.13, '104').share).toBeCloseTo(11.13, 2);
    expect(steady(11.12, '104').reached).toBe(false);
    expect(steady(11.14, '104').reached).toBe(true);
    expect(Math.abs(1 / (steady(1, '104').share * 11) - 1)).toBeLessThan(0.0125);
    const stated = fitted.replace(', between: arrhenius', '');
    expect(steady(23.99, '104', stated).reached).toBe(false);
    expect(steady(24, '104', stated).reached).toBe(true);
  });

  it('equals 6.358 h at 70 °F for 4 h at 90 °F, as published by the same formula', () => {
    expect(steady(4, '90').share * 24).toBeCloseTo(4 * 1.5895, 3);
  });

  it('does not go beyond its points: colder counts nothing, and hotter no more than the hottest', () => {
    // The same curve would give 3.17 h at 170 °F, where the sheet has 2 h, and 30.7 h at 60 °F.
    expect(steady(100, '69.9')).toEqual({ share: 0, reached: false, counted: 0 });
    expect(steady(3.2, '170').share).toBeCloseTo(3.2 / 8, 12);
    expect(steady(7.99, '170').reached).toBe(false);
    expect(steady(8.01, '170').reached).toBe(true);
  });
});

/** What the engine adds to an import. The fold works out the rows by itself. */
const told = { rows: 0, first: '2026-03-01T00:00:00Z', last: '2026-03-01T00:00:00Z', read: {} };

describe('laws of cures', () => {
  const stages = bond.replace(
    'stages: { handle: 18 h at 18 °C, full: 7 d at 18 °C }, floor: 18 °C',
    'stages: { handle: [30 h at 18 °C, 20 h at 24 °C], full: 7 d at 18 °C }, floor: 18 °C, reading-every: 12 h',
  );
  const end = '2026-03-09T09:30:00+01:00';
  const begun = Date.parse('2026-03-02T12:00:00+01:00');
  const reading = fc.record({
    // Quarters of an hour, from two hours before the cure begins.
    quarter: fc.integer({ min: -8, max: 600 }),
    tenths: fc.integer({ min: 120, max: 300 }),
  });
  type Reading = { readonly quarter: number; readonly tenths: number };
  const history = fc.array(reading, { minLength: 1, maxLength: 25 });

  const instant = ({ quarter }: Reading): string => printInstant(begun + quarter * 900_000, 60);
  const celsius = ({ tenths }: Reading): string => (tenths / 10).toFixed(1);

  const curing = toCure(stages);
  const at = end;

  /** What the cure of the fixture counts with this history, typed or imported after what is already known. */
  const with_ = (
    readings: readonly Reading[],
    how: 'typed' | 'imported',
    state: BuildState = curing.state(),
  ): CureNow => {
    let now = state;
    const put = (type: string, data: Data, when?: string): void => {
      const id = `w:${now.entries + 1}`;
      const entry = {
        id,
        hash: id,
        at: end,
        by: 'ines',
        job: '',
        type,
        data,
        also: [],
        ...(when === undefined ? {} : { when }),
      };
      const after = evolveRaw(now, entry, curing.library);
      if (!after.ok) throw new Error(after.fault.what);
      now = after.value;
    };
    if (how === 'imported')
      put('temperatures', {
        file: 'x.csv',
        ...told,
        ...curing.log(csv(readings.map((one) => [instant(one), celsius(one)]))),
      });
    else for (const one of readings) put('temperature', { temperature: `${celsius(one)} °C` }, instant(one));
    return cureIn(now, at);
  };

  const said = ({ stages: all, last }: CureNow): unknown => ({ all, last: last?.ms });

  it('importing a log equals typing the same readings', () => {
    fc.assert(
      fc.property(history, (readings) => {
        expect(said(with_(readings, 'imported'))).toEqual(said(with_(readings, 'typed')));
      }),
    );
  });

  it('typing some readings and importing the others equals either alone', () => {
    fc.assert(
      fc.property(history, history, (one, other) => {
        const both = curing.log(csv(other.map((row) => [instant(row), celsius(row)])));
        const id = `w:${curing.state().entries + 1}`;
        const entry = {
          id,
          hash: id,
          at: end,
          by: 'ines',
          job: '',
          type: 'temperatures',
          data: { file: 'y.csv', ...both, ...told },
          also: [],
        };
        const half = evolveRaw(curing.state(), entry, curing.library);
        if (!half.ok) throw new Error(half.fault.what);
        expect(said(with_(one, 'typed', half.value))).toEqual(said(with_([...one, ...other], 'imported')));
      }),
    );
  });

  it('never counts more than clock time, and another reading never makes it do so', () => {
    fc.assert(
      fc.property(history, reading, (readings, more) => {
        for (const now of [with_(readings, 'imported'), with_([...readings, more], 'imported')])
          for (const { countedMs } of now.stages) expect(countedMs).toBeLessThanOrEqual(now.clockMs);
      }),
    );
  });

  it('never counts more, or is closer to its end, with a colder history', () => {
    fc.assert(
      fc.property(
        history,
        fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 25, maxLength: 25 }),
        (readings, by) => {
          const colder = readings.map((one, index) => ({ ...one, tenths: one.tenths - (by[index] ?? 0) }));
          const [warm, cold] = [with_(readings, 'imported'), with_(colder, 'imported')];
          for (const [index, stage] of cold.stages.entries()) {
            expect(stage.countedMs).toBeLessThanOrEqual(warm.stages[index]?.countedMs ?? -1);
            expect(stage.progress).toBeLessThanOrEqual(warm.stages[index]?.progress ?? -1);
          }
        },
      ),
    );
  });

  it('counts the same where a colder reading of its own splits an interval', () => {
    fc.assert(
      fc.property(history, fc.nat(23), fc.nat(1000), (readings, which, share) => {
        const inOrder = readings.toSorted((a, b) => a.quarter - b.quarter || a.tenths - b.tenths);
        const index = which % inOrder.length;
        const [from, to] = [inOrder[index], inOrder[index + 1]];
        // An interval that is too long to count may count once it is split. Before the cure begins, the mix has its own temperature.
        fc.pre(
          from !== undefined &&
            to !== undefined &&
            from.quarter >= 0 &&
            to.quarter - from.quarter > 1 &&
            to.quarter - from.quarter <= 48,
        );
        if (!from || !to) return;
        const quarter = from.quarter + 1 + (share % (to.quarter - from.quarter - 1));
        const between = { quarter, tenths: Math.min(from.tenths, to.tenths) };
        const cold = inOrder.filter((one) => one.quarter === from.quarter || one.quarter === to.quarter);
        fc.pre(cold.length === 2);
        // Between the colder end and the new reading the count stays the same; between that reading and the warmer end as well.
        expect(said(with_([...readings, between], 'imported'))).toEqual(said(with_(readings, 'imported')));
      }),
    );
  });

  it('is the same in the build that went through it and in the build folded again', () => {
    fc.assert(
      fc.property(history, (readings) => {
        const engine = toCure(stages);
        engine
          .at(end)
          .says('temperatures', 'x.csv', engine.log(csv(readings.map((one) => [instant(one), celsius(one)]))))
          .taken();
        let state = emptyBuild;
        for (const entry of engine.entries()) {
          const after = evolveRaw(state, entry, engine.library);
          if (!after.ok) throw new Error(after.fault.what);
          state = after.value;
        }
        expect(cureIn(state, end).intervals).toEqual(cureIn(engine.state(), end).intervals);
        expect(said(cureIn(state, end))).toEqual(said(cureIn(engine.state(), end)));
      }),
      { numRuns: 20 },
    );
  });
});
