import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { cureNow, msOf } from '../../src/job/cure.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const glue = small(`
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, pot-life: [35 min at 20 °C] }
  - step: cure
    title: Cure
    wait: 1 h
    cure: { of: mix, stages: { handle: 18 h at 18 °C }, floor: 18 °C }
`);

const doubt = { 'clock-doubt': true };
const hour = 3_600_000;

const begunAt = (at: string): Engine => {
  const engine = engineWith([glue]);
  engine.at(at).says('start', 'small').taken();
  engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).taken();
  engine.says('finish', 'mix').taken();
  engine.says('temperature', '20 °C').taken();
  return engine;
};

const warm = (engine: Engine, at: string, more: Record<string, string | boolean> = {}, when?: string): void =>
  void engine.at(at).says('temperature', '20 °C', more, when).taken();

const hours = (engine: Engine, at: string): number => {
  const job = engine.job();
  const step = job.plan.steps.find((one) => one.cure);
  const now = step && cureNow(job, step, aroundOf(engine.state(), job, msOf(at)), msOf(at));
  return (now?.stages[0]?.countedMs ?? -1) / hour;
};

describe('a change of the calendar does not put the clock in doubt', () => {
  it.each([
    ['an ordinary day', '2026-03-02T09:00:00+01:00', '2026-03-03T09:00:00+01:00', 24],
    ['another time zone: a flight of two hours', '2026-03-02T09:00:00+01:00', '2026-03-02T13:00:00+03:00', 2],
    ['clocks go forward: the day has 23 hours', '2026-03-28T12:00:00+01:00', '2026-03-29T12:00:00+02:00', 23],
    ['clocks go back: the day has 25 hours', '2026-10-24T12:00:00+02:00', '2026-10-25T12:00:00+01:00', 25],
    ['the hour that occurs twice', '2026-10-25T02:30:00+02:00', '2026-10-25T02:10:00+01:00', 40 / 60],
    ['over the leap day', '2028-02-28T09:00:00+01:00', '2028-03-01T09:00:00+01:00', 48],
    ['over the end of February without one', '2027-02-28T09:00:00+01:00', '2027-03-01T09:00:00+01:00', 24],
    ['over the new year', '2026-12-31T21:00:00Z', '2027-01-01T06:00:00Z', 9],
  ])('%s', (_, from, to, counted) => {
    const engine = begunAt(from);
    warm(engine, to);
    expect(engine.state().clockTrouble).toBeUndefined();
    expect(hours(engine, to)).toBeCloseTo(counted, 9);
  });
});

describe('time does not count while the clock is in doubt', () => {
  it('when set back: from the first wrong stamp until the clock is set right and two temperatures are read', () => {
    const engine = begunAt('2026-03-02T09:00:00+01:00');
    warm(engine, '2026-03-02T15:00:00+01:00');
    expect(hours(engine, '2026-03-02T15:00:00+01:00')).toBe(6);
    warm(engine, '2026-03-02T11:00:00+01:00');
    warm(engine, '2026-03-02T14:00:00+01:00');
    expect(hours(engine, '2026-03-02T15:00:00+01:00')).toBe(0);
    engine.at('2026-03-02T20:00:00+01:00').says('finish', 'cure').refused('cure-not-reached');
    engine.says('clock', '2026-03-02T20:00:00+01:00').taken();
    warm(engine, '2026-03-02T21:00:00+01:00');
    expect(hours(engine, '2026-03-02T21:00:00+01:00')).toBe(0);
    warm(engine, '2026-03-02T23:00:00+01:00');
    expect(hours(engine, '2026-03-02T23:00:00+01:00')).toBe(2);
  });

  it('when set forward while dryfit was open: the entry says so, and the hours that never passed do not count', () => {
    const engine = begunAt('2026-03-02T09:00:00+01:00');
    warm(engine, '2026-03-02T12:00:00+01:00');
    warm(engine, '2026-03-03T12:00:00+01:00', doubt);
    warm(engine, '2026-03-03T13:00:00+01:00', doubt);
    expect(hours(engine, '2026-03-03T13:00:00+01:00')).toBe(3);
    expect(engine.state().clockTrouble?.why).toMatch(/^the clock was set before entry/);
    engine.at('2026-03-03T13:00:00+01:00').says('clock', '2026-03-02T13:00:00+01:00').wrong('clock-differs');
    // Set right again, the clock shows a time before its own last line. The true time is accepted.
    engine.at('2026-03-02T14:00:00+01:00').says('clock', '2026-03-02T14:00:00+01:00', doubt).taken();
    warm(engine, '2026-03-02T15:00:00+01:00');
    warm(engine, '2026-03-02T17:00:00+01:00');
    expect(hours(engine, '2026-03-02T18:00:00+01:00')).toBe(3 + 2);
  });

  it('when nothing was typed meanwhile: the interval across the setting does not count', () => {
    const engine = begunAt('2026-03-02T09:00:00+01:00');
    engine.at('2026-03-03T09:00:00+01:00').says('clock', '2026-03-03T09:00:00+01:00', doubt).taken();
    warm(engine, '2026-03-03T10:00:00+01:00');
    expect(hours(engine, '2026-03-03T10:00:00+01:00')).toBe(0);
    expect(engine.state().clockRun).toBe(1);
  });

  it('entering the true time without any doubt changes nothing', () => {
    const engine = begunAt('2026-03-02T09:00:00+01:00');
    engine.at('2026-03-02T10:00:00+01:00').says('clock', '2026-03-02T10:01:00+01:00').taken();
    warm(engine, '2026-03-02T11:00:00+01:00');
    expect(hours(engine, '2026-03-02T11:00:00+01:00')).toBe(2);
  });

  it('a time given by the person is not in doubt, and a logger has a clock of its own', () => {
    const engine = begunAt('2026-03-02T09:00:00+01:00');
    warm(engine, '2026-03-03T12:00:00+01:00', doubt, '2026-03-02T12:00:00+01:00');
    expect(hours(engine, '2026-03-03T12:00:00+01:00')).toBe(3);
    engine.says('clock', '2026-03-03T12:00:00+01:00', doubt).taken();
    const log = engine.log('time,temp (C)\n2026-03-02 12:00,20\n2026-03-03 11:00,20\n');
    engine.says('temperatures', 'log.csv', log).taken();
    expect(hours(engine, '2026-03-03T12:00:00+01:00')).toBe(26);
  });

  it('glue finished while the clock is in doubt cures from when the clock is set right', () => {
    const engine = engineWith([glue]);
    engine.at('2026-03-02T09:00:00+01:00').says('start', 'small').taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).taken();
    engine.at('2026-03-02T04:00:00+01:00').says('finish', 'mix').taken();
    engine.says('finish', 'cure').refused('cure-not-reached');
    engine.at('2026-03-02T10:00:00+01:00').says('clock', '2026-03-02T10:00:00+01:00').taken();
    const log = engine.log('time,temp (C)\n2026-03-02 04:00,20\n2026-03-02 12:00,20\n');
    engine.at('2026-03-02T12:00:00+01:00').says('temperatures', 'log.csv', log).taken();
    expect(hours(engine, '2026-03-02T12:00:00+01:00')).toBe(2);
    // A plain wait runs from that time too.
    engine.at('2026-03-03T09:00:00+01:00');
    const fault = engine.says('finish', 'cure').refused('cure-not-reached');
    expect(fault.what).toContain('counted 2 h of');
  });

  it('refuses to mix, because nobody would know when the pot life ends', () => {
    const engine = engineWith([glue]);
    engine.at('2026-03-02T09:00:00+01:00').says('start', 'small').taken();
    engine.at('2026-03-02T08:00:00+01:00');
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).refused('clock');
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, discarded: 'true' }).taken();
    engine.says('clock', '2026-03-02T08:00:00+01:00').taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).taken();
  });
});
