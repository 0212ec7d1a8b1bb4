import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { stagesAsOf } from '../../src/job/cure-stages.ts';
import { nonconformances } from '../../src/job/nonconformances.ts';
import { printInstant } from '../../src/quantity/time.ts';
import type { Engine } from '../support/engine.ts';
import { bond, toCure } from './fixtures.ts';

const hour = 3_600_000;
const begun = Date.parse('2026-03-02T12:00:00+01:00');
const after = (hours: number): string => printInstant(begun + Math.round(hours * 60) * 60_000, 60);

const open = (engine: Engine): readonly string[] => {
  const job = engine.job();
  return nonconformances(job, aroundOf(engine.state(), job, begun + 400 * hour))
    .filter((one) => one.open)
    .map(({ what }) => what);
};

/** The cure is finished after 20 h at 20 °C. */
const cured = (yaml = bond): Engine => {
  const engine = toCure(yaml).at(after(20));
  engine.says('temperature', '20 °C', {}, after(0)).taken();
  engine.says('temperature', '20 °C').taken();
  engine.says('finish', 'cure').taken();
  expect(open(engine)).toEqual([]);
  return engine;
};

const taken = ['the cure cure had not reached handle when it was finished'];

describe('a finished cure that had not been reached after all', () => {
  it('is a nonconformance by a late reading, and not while a reading is cold for a moment that does not matter', () => {
    const engine = cured().at(after(30));
    engine.says('temperature', '12 °C', {}, after(19.5)).taken();
    expect(open(engine)).toEqual(taken);
    const later = cured().at(after(30));
    later.says('temperature', '12 °C', {}, after(21)).taken();
    expect(open(later)).toEqual([]);
  });

  it('is one by a minimum that is entered late, and by none that spoke of another time', () => {
    const engine = cured().at(after(30));
    engine.says('temperature', '20 °C', { lowest: '17 °C', since: after(21) }, after(25)).taken();
    expect(open(engine)).toEqual([]);
    engine.says('temperature', '20 °C', { lowest: '17 °C', since: after(15) }, after(25)).taken();
    expect(open(engine)).toEqual(taken);
  });

  it('is one by a corrected reading, and by an import; it ends when that import is struck', () => {
    const engine = cured().at(after(30));
    const log = engine.log(`time,temp (C)\n${after(5)},20\n${after(6)},10\n${after(9)},20\n`);
    engine.says('temperatures', 'night.csv', log).taken();
    expect(open(engine)).toEqual(taken);
    engine.says('correct', 'night.csv', { value: 'none', reason: 'the paint shop' }).taken();
    expect(open(engine)).toEqual([]);
    const last = engine.entries().findLast(({ type }) => type === 'temperature')?.id ?? '';
    engine.says('correct', last, { value: '10 °C', reason: 'misread' }).taken();
    expect(open(engine)).toEqual(taken);
  });
});

describe('what was done after a stage', () => {
  const painted = bond
    .replace('full: 7 d at 18 °C', 'full: 30 h at 18 °C')
    .replace('not-before: handle', 'not-before: full')
    .replace(
      '  - step: break\n',
      '  - step: paint\n    title: Paint it\n    after-stage: { cure: cure, stage: full }\n  - step: break\n',
    );

  it('is a nonconformance where a late reading takes that stage back', () => {
    const engine = cured(painted).at(after(31));
    engine.says('temperature', '20 °C').taken();
    engine.says('begin', 'paint').taken();
    engine.says('finish', 'paint').taken();
    engine.says('break', 'S-1', { result: 'held' }).taken();
    expect(open(engine)).toEqual([]);
    engine.at(after(40)).says('temperature', '15 °C', {}, after(28)).taken();
    expect(open(engine)).toEqual([
      'cure had not reached full when paint was begun',
      'the sample S-1 was broken before full was reached',
    ]);
    engine.says('finish', 'break').taken();
    engine.says('dispose', 'paint', { 'as-what': 'use-as-is', reason: 'it held', 'accepted-by': 'quillon' }).taken();
    engine.says('dispose', 'S-1', { 'as-what': 'use-as-is', reason: 'it held', 'accepted-by': 'quillon' }).taken();
    expect(open(engine)).toEqual([]);
  });
});

describe('a stage as of an instant', () => {
  it('says when it was reached, to the millisecond, also after its step was finished', () => {
    const engine = cured(bond.replace('full: 7 d at 18 °C', 'full: 30 h at 18 °C')).at(after(60));
    engine.says('temperature', '20 °C', {}, after(25)).taken();
    engine.says('temperature', '10 °C', {}, after(35)).taken();
    engine.says('temperature', '20 °C', {}, after(45)).taken();
    engine.says('temperature', '20 °C', {}, after(55)).taken();
    const job = engine.job();
    const step = job.plan.steps.find((one) => one.step === 'cure');
    const asOf = (hours: number) =>
      step && stagesAsOf(job, step, aroundOf(engine.state(), job, begun + hours * hour), begun + hours * hour);
    expect(asOf(20)?.map(({ reachedAt }) => reachedAt)).toEqual([begun + 18 * hour, undefined]);
    expect(asOf(60)?.map(({ reachedAt }) => reachedAt)).toEqual([begun + 18 * hour, begun + 50 * hour]);
    expect(asOf(49.999)?.[1]).toMatchObject({ reached: false });
    expect(asOf(50)?.[1]).toMatchObject({ reached: true, reachedAt: begun + 50 * hour });
  });
});
