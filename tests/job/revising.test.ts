import { describe, expect, it } from 'vitest';
import { recordIn } from '../../src/workshop/records/record-in.ts';
import { verifyValues } from '../../src/record/verify-values.ts';
import { recordPlain } from '../../src/report/record-sheet.ts';
import { recordShape } from '../../src/record/document.ts';
import { stepStateOf } from '../../src/job/step-state.ts';
import { isDone, currentStep } from '../../src/job/where.ts';
import type { JobState } from '../../src/job/state.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const page =
  small(`  - { step: rig, title: Rig, readings: [{ reading: down, unit: °, limits: 14 ± 1 °, source: invented }] }
  - { step: lock, title: Lock }
  - { step: look, title: Look, hold: { by: inspector, look-for: [the stop] } }
  - { step: tidy, title: Tidy }
`);

const revised = (...changes: readonly (readonly [string, string])[]): string =>
  changes.reduce(
    (text, [from, to]) => {
      expect(text).toContain(from);
      return text.replace(from, to);
    },
    page.replace('revision: A', 'revision: B'),
  );

/** Everything of the first page but its last step is done. */
const underWay = (next: string, value = '14.2 °'): Engine => {
  const engine = engineWith([page, next]);
  engine.says('start', 'small').taken();
  engine.says('read', 'down', { value }).taken();
  for (const step of ['rig', 'lock']) engine.says('finish', step).taken();
  engine.as('tobias').says('release', 'look').taken();
  engine.as('ines').says('finish', 'look').taken();
  return engine;
};

const stateOf = (job: JobState, step: string): string => stepStateOf(job, step).state;
const shifted = revised(['14 ± 1 °', '15 ± 1 °']);

describe('moving a job to a new revision', () => {
  it('keeps a step whose values are still within the new limits, and its release', () => {
    const engine = underWay(shifted);
    const { told } = engine.says('move', 'B').taken();
    expect(told[0]).toContain('3 finished steps stand');
    const job = engine.job();
    expect(job).toMatchObject({ revision: 'B', moves: [{ revision: 'B', from: { revision: 'A' }, reopened: [] }] });
    expect(currentStep(job)?.step).toBe('tidy');
    engine.says('finish', 'tidy').taken();
    engine.says('complete').taken();
  });

  it('opens a step whose value is now outside, and voids the release that inspected it', () => {
    const engine = underWay(shifted, '13.5 °');
    const { told } = engine.says('move', 'B').taken();
    expect(told.join()).toMatch(/rig is open again: down is 13.5 °, outside 15 ± 1 °/);
    expect(currentStep(engine.job())?.step).toBe('rig');
    expect(stateOf(engine.job(), 'look')).toBe('todo');
    engine.says('finish', 'rig').refused('outside');
    engine.says('read', 'down', { value: '15.2 °', reason: 'stop set to the new page' }).taken();
    engine.says('finish', 'rig').taken();
    expect(stateOf(engine.job(), 'lock')).toBe('done');
    engine.says('finish', 'look').refused('hold-closed');
    expect(engine.job().tries['down']?.map(({ value }) => value)).toEqual(['13.5 °', '15.2 °']);
  });

  it('leaves a value outside the new limits as it was where the change is for the record only', () => {
    const engine = underWay(shifted, '13.5 °');
    engine.says('resolve', 'down', { 'as-what': 'record-only', reason: 'this aircraft flew so' }).taken();
    engine.says('move', 'B').taken();
    expect(stateOf(engine.job(), 'rig')).toBe('done');
    expect(stateOf(engine.job(), 'look')).toBe('done');
    const document = recordIn(engine.state(), engine.job(), { writer: 'w', seq: 99, hash: 'f'.repeat(64) });
    expect(document.nonconformances).toEqual([]);
  });

  it.each([
    ['14.2 °', 'within'],
    ['13.5 °', 'outside'],
  ])('prints the verdict on %s by the limits of its time, and beside it the new one', (value, now) => {
    const engine = underWay(shifted, value);
    engine.says('move', 'B').taken();
    const document = recordIn(engine.state(), engine.job(), { writer: 'w', seq: 99, hash: 'f'.repeat(64) });
    expect(document.steps[0]?.readings?.[0]).toMatchObject({
      limits: '15 ± 1 °',
      entered: [{ value, verdict: 'within', 'by-page': { revision: 'A', limits: '14 ± 1 °' }, 'verdict-now': now }],
    });
    expect(verifyValues(document).map(({ level }) => level)).toEqual(['ok']);
    const plain = recordPlain(document).replaceAll(/\s+/g, ' ');
    expect(plain).toContain('14 ± 1 °');
    expect(plain).toContain('✓ within');
  });

  it('leaves the revision as it is until the move', () => {
    const engine = underWay(shifted, '13.5 °');
    engine.says('resolve', 'down', { 'as-what': 'comply' }).taken();
    expect(engine.job()).toMatchObject({ revision: 'A' });
    expect(stateOf(engine.job(), 'rig')).toBe('done');
  });

  it('may move a complete job, which is open again where something must be done', () => {
    const engine = underWay(shifted, '13.5 °');
    engine.says('finish', 'tidy').taken();
    engine.says('complete').taken();
    engine.says('move', 'B').taken();
    expect(engine.job().reopened).toBeDefined();
    expect(currentStep(engine.job())?.step).toBe('rig');
  });

  it('asks for an added step, and for a new look at what was released over it', () => {
    const engine = underWay(revised(['  - { step: look', '  - { step: wire, title: Wire }\n  - { step: look']));
    engine.says('move', 'B').taken();
    expect(currentStep(engine.job())?.step).toBe('wire');
    expect(stateOf(engine.job(), 'look')).toBe('todo');
  });

  it('does not ask for an added step that the builder decided not to do, before the move or after', () => {
    const next = revised(['  - { step: look', '  - { step: wire, title: Wire }\n  - { step: look']);
    const before = underWay(next);
    before.says('resolve', 'wire', { 'as-what': 'not-applicable' }).refused('reason-missing');
    before.says('resolve', 'wire', { 'as-what': 'not-applicable', reason: 'ours has no wire' }).taken();
    before.says('move', 'B').taken();
    expect(stateOf(before.job(), 'look')).toBe('done');
    expect(currentStep(before.job())?.step).toBe('tidy');
    const after = underWay(next);
    after.says('move', 'B').taken();
    after.says('resolve', 'wire', { 'as-what': 'record-only', reason: 'noted' }).taken();
    expect(currentStep(after.job())?.step).toBe('look');
    after.says('resolve', 'wire', { 'as-what': 'comply' }).taken();
    expect(currentStep(after.job())?.step).toBe('wire');
  });

  it('cannot decide a hold point away, or leave out a step of a strict procedure', () => {
    const hold = '  - { step: second, title: Second look, hold: { by: inspector, look-for: [the wire] } }\n';
    const engine = underWay(revised(['title: Tidy }\n', `title: Tidy }\n${hold}`]));
    engine.says('resolve', 'second', { 'as-what': 'record-only', reason: 'nobody near' }).refused('hold-closed');
    const strict = underWay(
      revised(
        ['steps:', 'strict: true\nsteps:'],
        ['  - { step: tidy', '  - { step: wire, title: Wire }\n  - { step: tidy'],
      ),
    );
    strict.says('resolve', 'wire', { 'as-what': 'not-applicable', reason: 'no wire' }).refused('strict');
  });

  it('asks for a reading that the new page adds to a finished step, unless decided otherwise', () => {
    const next = revised(['source: invented }]', 'source: invented }, { reading: up, unit: °, source: invented }]']);
    const engine = underWay(next);
    engine.says('move', 'B').taken();
    expect(currentStep(engine.job())?.step).toBe('rig');
    engine.says('finish', 'rig').refused('part-missing');
    const left = underWay(next);
    left.says('resolve', 'up', { 'as-what': 'not-applicable', reason: 'measured by the maker' }).taken();
    left.says('move', 'B').taken();
    expect(currentStep(left.job())?.step).toBe('tidy');
  });

  it('asks for a new look where a hold asks for more', () => {
    const engine = underWay(revised(['[the stop]', '[the stop, the wire]']));
    expect(engine.says('move', 'B').taken().told.join()).toContain('look is open again');
    engine.says('finish', 'look').refused('hold-closed');
  });

  it('opens nothing for changed words, unless the builder complies with them', () => {
    const engine = underWay(revised(['title: Lock', 'title: Lock, do: Lock it with two wires.']));
    engine.says('move', 'B').taken();
    expect(currentStep(engine.job())?.step).toBe('tidy');
    engine.says('resolve', 'lock', { 'as-what': 'comply' }).taken();
    expect(currentStep(engine.job())?.step).toBe('lock');
  });

  it('takes another id for the same step only where the builder says so', () => {
    const next = revised(['step: rig,', 'step: rig-stop,'], ['reading: down', 'reading: travel-down']);
    const apart = underWay(next);
    apart.says('move', 'B').taken();
    expect(currentStep(apart.job())?.step).toBe('rig-stop');
    expect(apart.job().former.map(({ step }) => step)).toEqual(['rig']);
    const same = underWay(next);
    same.says('move', 'B', { renamed: { rig: 'rig-stop', down: 'travel-down' } }).taken();
    expect(currentStep(same.job())?.step).toBe('tidy');
    expect(same.job().tries['travel-down']).toHaveLength(1);
    expect(same.job().former).toEqual([]);
  });

  it('keeps in the record what the new page dropped, and the record is consistent', () => {
    const gone = page.split('\n').find((line) => line.includes('step: rig,')) ?? '';
    const engine = underWay(revised([`${gone}\n`, '']));
    engine.says('move', 'B').taken();
    const document = recordIn(engine.state(), engine.job(), { writer: 'w', seq: 99, hash: 'f'.repeat(64) });
    const rig = document.steps.find(({ step }) => step === 'rig');
    expect(rig).toMatchObject({ 'not-in': 'B', readings: [{ reading: 'down', entered: [{ value: '14.2 °' }] }] });
    expect(document.moves).toMatchObject([{ from: { revision: 'A' }, to: { revision: 'B' } }]);
    expect(recordShape.safeParse(JSON.parse(JSON.stringify(document))).error?.issues).toBeUndefined();
    expect(verifyValues(document).map(({ level }) => level)).toEqual(['ok']);
  });

  it('judges a batch by the page to which it was mixed', () => {
    const glue = (revision: string, hardener: string): string => `procedure: small
title: Small
revision: ${revision}
gather: { materials: [{ material: adhesive }] }
steps:
  - { step: mix, title: Mix, mix: { material: adhesive, ratio: { resin: 100, hardener: ${hardener} }, tolerance: 2 %, pot-life: 35 min at 20 °C, source: invented } }
  - { step: close, title: Close, in-pot-life-of: mix }
  - { step: tidy, title: Tidy }
`;
    const engine = engineWith([glue('A', '44'), glue('B', '50')]);
    engine.says('start', 'small').taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).taken();
    for (const step of ['mix', 'close']) engine.says('finish', step).taken();
    engine.says('move', 'B').taken();
    const [batch] = engine.job().batches;
    expect(batch?.mixedTo?.ratio).toEqual([
      { part: 'resin', share: '100' },
      { part: 'hardener', share: '44' },
    ]);
    expect(isDone(engine.job(), engine.job().plan.steps[0]!)).toBe(true);
    const document = recordIn(engine.state(), engine.job(), { writer: 'w', seq: 99, hash: 'f'.repeat(64) });
    expect(verifyValues(document).map(({ level }) => level)).toEqual(['ok']);
  });

  it('is a usage fault for its own text, another procedure, an unknown revision, and a place without a change', () => {
    const engine = underWay(shifted);
    engine.says('move', 'A').wrong('revision-same');
    // Without a text from the workshop there is nothing to decide about.
    engine.says('move', 'C').wrong('field-missing');
    engine.says('resolve', 'tidy', { 'as-what': 'comply' }).wrong('unknown-id');
    engine.as('tobias').says('move', 'B').refused('power');
    const other = engineWith([
      page,
      page.replace('procedure: small', 'procedure: other').replace('revision: A', 'revision: B'),
    ]);
    other.says('start', 'small').taken();
    other.says('move', 'B').wrong('procedure-differs');
  });
});
