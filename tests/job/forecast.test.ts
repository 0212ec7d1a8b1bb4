import { describe, expect, it } from 'vitest';
import { statusOf } from '../../src/aircraft/status.ts';
import { cureCalendar } from '../../src/report/calendar.ts';
import { printInstant } from '../../src/quantity/time.ts';
import type { Engine } from '../support/engine.ts';
import { bond, cureIn, toCure } from './fixtures.ts';

const hour = 3_600_000;
const begun = Date.parse('2026-03-02T12:00:00+01:00');
const after = (hours: number): string => printInstant(begun + hours * hour, 60);

const twoPoints = bond.replace('handle: 18 h at 18 °C', 'handle: [48 h at 18 °C, 24 h at 25 °C]');

const statusAt = (engine: Engine, hours: number) => statusOf(engine.state(), begun + hours * hour);

describe('a forecast', () => {
  it('starts now, and never at a reading of some hours ago', () => {
    // The mix had a temperature ten minutes before the cure began, and nothing was entered since.
    const engine = toCure();
    expect(cureIn(engine.state(), after(0)).stages[0]?.forecast).toBe(begun + 18 * hour);
    expect(cureIn(engine.state(), after(11)).stages[0]?.forecast).toBe(begun + 29 * hour);
    engine.at(after(11)).says('temperature', '20 °C').taken();
    expect(cureIn(engine.state(), after(11)).stages[0]?.forecast).toBe(begun + 18 * hour);
  });

  it('starts no earlier than the cure', () => {
    const engine = toCure();
    expect(cureIn(engine.state(), after(-0.1)).stages[0]?.forecast).toBe(begun + 18 * hour);
  });

  it('is the same in the status and in its calendar', () => {
    const engine = toCure();
    const status = statusAt(engine, 11);
    expect(status.jobs[0]?.cures[0]?.stages[0]?.forecast).toBe('2026-03-03T16:00:00Z');
    expect(cureCalendar(status, begun + 11 * hour)).toContain('DTSTART:20260303T160000Z');
  });
});

describe('a stage with several points', () => {
  it('says how far it has come in percent, and names the temperature of every hour', () => {
    const engine = toCure(twoPoints).at(after(24));
    engine.says('temperature', '25 °C', {}, after(0)).taken();
    engine.says('temperature', '20 °C', {}, after(12)).taken();
    engine.says('temperature', '25 °C', {}, after(24)).taken();
    const [handle] = cureIn(engine.state(), after(24)).stages;
    expect(handle).toMatchObject({
      percent: 50,
      countedMs: 24 * hour,
      atPoints: [
        { at: '18 °C', ms: 24 * hour },
        { at: '25 °C', ms: 0 },
      ],
      leftMs: 12 * hour,
    });
    expect(handle).not.toHaveProperty('needMs');
    const [shown] = statusAt(engine, 24).jobs[0]?.cures[0]?.stages ?? [];
    expect(shown).toEqual({
      stage: 'handle',
      percent: 50,
      reached: false,
      leftMs: 12 * hour,
      forecast: '2026-03-03T23:00:00Z',
    });
    expect(engine.says('finish', 'cure').refused('cure-not-reached').what).toBe(
      'cure has not reached handle: counted 50 %, clock 24 h',
    );
  });

  it('is at 100 % only once it is reached', () => {
    const engine = toCure(twoPoints).at(after(72));
    engine.says('temperature', '20 °C', {}, after(0)).taken();
    engine.says('temperature', '20 °C', {}, after(72)).taken();
    expect(cureIn(engine.state(), after(47.999)).stages[0]).toMatchObject({ percent: 99, reached: false });
    expect(cureIn(engine.state(), after(48)).stages[0]).toMatchObject({ percent: 100, reached: true });
  });
});

describe('a stage that is reached', () => {
  it('stays in the status until the job is complete, and is counted on after its step', () => {
    const engine = toCure(bond.replace('full: 7 d at 18 °C', 'full: 30 h at 18 °C')).at(after(18));
    engine.says('temperature', '20 °C').taken();
    engine.says('finish', 'cure').taken();
    const reached = (): readonly boolean[] | undefined =>
      statusOf(engine.state(), Date.parse(engine.entries().at(-1)?.at ?? '')).jobs[0]?.cures[0]?.stages.map(
        (one) => one.reached,
      );
    expect(reached()).toEqual([true, false]);
    engine.at(after(30)).says('temperature', '20 °C').taken();
    expect(reached()).toEqual([true, true]);
    engine.says('break', 'S-1', { result: 'held' }).taken();
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    expect(reached()).toEqual([true, true]);
    engine.says('complete').taken();
    expect(reached()).toBeUndefined();
  });
});
