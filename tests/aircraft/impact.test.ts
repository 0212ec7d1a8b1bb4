import { describe, expect, it } from 'vitest';
import { impactOf, type JobImpact } from '../../src/aircraft/impact.ts';
import { engineWith, procedureOf, type Engine } from '../support/engine.ts';

const page = (
  changes: Partial<Record<'limits' | 'lock' | 'look' | 'extra' | 'first' | 'glue' | 'revision', string>> = {},
): string => `procedure: small
title: Small
revision: ${changes.revision ?? 'B'}
each: [left, right, middle]
steps:
${changes.first ?? ''}  - { step: rig, title: Rig, readings: [{ reading: down, unit: °, limits: ${changes.limits ?? '14 ± 1 °'}, source: invented }] }
  - { step: lock, title: Lock${changes.lock ?? ''} }
  - { step: fix, title: Fix it for good, permanent: true, sets: [line]${changes.glue ?? ''} }
  - { step: look, title: Look, hold: { by: inspector, look-for: [${changes.look ?? 'the stop'}] } }
${changes.extra ?? ''}  - { step: tidy, title: Tidy }
`;

const first = page({ revision: 'A' });

/** A build in which the left side is complete, the right side is at its first step, and the middle is not begun. */
const built = (value = '14.2 °'): Engine => {
  const engine = engineWith([first]);
  engine.says('start', 'small', { each: 'left' }).taken();
  engine.says('depart', 'proof-missing', { says: 'a', did: 'b', because: 'c' }).taken();
  engine.says('read', 'down', { value }).taken();
  for (const step of ['rig', 'lock', 'fix']) engine.says('finish', step).taken();
  engine.as('tobias').says('release', 'look').taken();
  engine.as('ines');
  for (const step of ['look', 'tidy']) engine.says('finish', step).taken();
  engine.says('complete').taken();
  engine.says('start', 'small', { each: 'right' }).taken();
  return engine;
};

const impacts = (engine: Engine, next: string): readonly JobImpact[] =>
  impactOf(engine.state(), procedureOf(next), 'f'.repeat(64));

/** For the complete job: the changes that ask for something, by place. */
const left = (next: string, value?: string): readonly string[] =>
  (impacts(built(value), next)[0]?.changes ?? [])
    .filter(({ meaning, step }) => meaning !== 'nothing' && step !== '')
    .map(({ step, what, meaning }) => `${step} ${what}: ${meaning}`);

describe('what a new page means for this build', () => {
  it('is listed job by job: done, under way, not begun', () => {
    const jobs = impacts(built(), page({ limits: '15 ± 1 °' }));
    expect(jobs.map(({ side, state, revision }) => [side, state, revision])).toEqual([
      ['left', 'done', 'A'],
      ['right', 'under way', 'A'],
      ['middle', 'not begun', undefined],
    ]);
    expect(jobs[0]?.changes.at(-1)).toMatchObject({
      meaning: 'within',
      shown: 'down 14.2 ° still lies within 15 ± 1 °',
    });
    expect(jobs[1]?.changes.every(({ meaning }) => meaning === 'nothing')).toBe(true);
  });

  it('names a recorded value that is no longer within, and the release that inspected it', () => {
    expect(left(page({ limits: '15 ± 1 °' }), '13.5 °')).toEqual([
      'rig limits: outside',
      'look inspected work: hold-changed',
    ]);
    const [done] = impacts(built('13.5 °'), page({ limits: '15 ± 1 °' }));
    expect(done?.reopens).toEqual(['rig', 'look']);
  });

  it('is decided from the records, so that a change asks nothing of a value that meets it', () => {
    expect(left(page({ limits: '13 to 14.5 °' }))).toEqual(['rig limits: within']);
    expect(left(page({ limits: '13 to 14 °' }))).toEqual(['rig limits: outside', 'look inspected work: hold-changed']);
  });

  it('names a step that was never done', () => {
    expect(left(page({ extra: '  - { step: wire, title: Wire }\n' }))).toEqual(['wire step: never-done']);
  });

  it('names what the new page adds to a finished step', () => {
    const lock = ', readings: [{ reading: wires, count: true }]';
    expect(left(page({ lock }))).toEqual(['lock reading: never-done', 'look inspected work: hold-changed']);
  });

  it('names a hold that asks for more than was inspected', () => {
    expect(left(page({ look: 'the stop, the wire' }))).toEqual(['look hold look-for: hold-changed']);
  });

  it('names a permanent step that the new page asks for in another way', () => {
    expect(left(page({ glue: ', covers: [bay]' }))).toContain('fix covers: permanent-taken');
    expect(left(page({ first: '  - { step: dry, title: Dry fit, proves: [line] }\n' }))).toContain(
      'dry step: permanent-taken',
    );
  });

  it('asks nothing for changed words, which the records cannot answer', () => {
    expect(left(page({ lock: ', do: Lock it twice.' }))).toEqual([]);
  });

  it('lists what was decided', () => {
    const next = page({ limits: '15 ± 1 °' });
    const engine = engineWith([first, next]);
    engine.says('start', 'small', { each: 'left' }).taken();
    engine.says('resolve', 'down', { 'as-what': 'record-only', reason: 'noted', revision: 'B' }).taken();
    const sha256 = engine.job().resolutions[0]?.sha256 ?? '';
    const [job] = impactOf(engine.state(), procedureOf(next), sha256);
    expect(job?.changes.find(({ step }) => step === 'rig')).toMatchObject({ decided: 'record-only' });
    engine.says('move', 'B').taken();
    expect(impactOf(engine.state(), procedureOf(next), sha256)[0]).toMatchObject({ revision: 'B', changes: [] });
  });
});
