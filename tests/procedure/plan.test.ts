import { describe, expect, test } from 'vitest';
import { limitRefs } from '../../src/quantity/limits.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import { type Plan, planFor, readingOf, resultOf, stepOf } from '../../src/procedure/plan.ts';

const planOf = (text: string, side?: string): Plan => {
  const { procedure, messages } = readProcedure(text, 'f', { checks: false });
  expect(messages).toEqual([]);
  return planFor(procedure!, side);
};

const bays = `procedure: bays
title: The <each> bays
revision: A
each: [left, right]
after: [spar-<each>]
steps:
  - step: fit
    title: Fit on the <each> side
    for: [bay-1, bay-2]
    do: Offer the <each> rib up.
    sets: [rib-<each>]
    covers: [bay-<each>]
    back-to: fit
    readings:
      - { reading: gap, unit: mm, limits: at most 1 mm }
      - { reading: second, unit: mm, limits: at most gap }
    results: [{ result: length, calculation: rivet-length, from: { grip: gap, diameter: 3 mm }, limits: at least gap }]
    loose: [{ item: pin-<each>, left: in, because: later, before: close-<each> }]
    photo: [{ photo: rib, show: the <each> rib }]
  - step: mix
    title: Mix
    for: [bay-1, bay-2]
    mix: { material: glue, ratio: { a: 100, b: 44 }, tolerance: 2 % }
  - step: spread
    title: Spread
    for: [bay-1, bay-2]
    only-if: { reading: gap, is: at most second }
    in-pot-life-of: mix
    back-to: fit
  - step: cure
    title: Cure
    cure: { of: mix, stages: { handle: 24 h at 20 °C } }
  - step: cure-each
    title: Cure each
    for: [bay-1, bay-3]
    cure: { of: [mix], stages: { handle: 24 h at 20 °C } }
  - step: look
    title: Look
    after-stage: { cure: cure-each, stage: handle }
    closes: [pin-<each>]
    gate: close-<each>
    hold: { of: [fit, cure], look-for: [the <each> rib] }
`;

describe('a side', () => {
  const plan = planOf(bays, 'left');

  test('takes the place of <each> in every text and id list', () => {
    expect(plan).toMatchObject({ side: 'left', title: 'The left bays', each: ['left', 'right'] });
    expect(plan.after).toEqual([{ procedure: 'spar-left', sameLot: false }]);
    expect(stepOf(plan, 'fit/bay-1')).toMatchObject({
      title: 'Fit on the left side',
      do: 'Offer the left rib up.',
      sets: ['rib-left'],
      covers: ['bay-left'],
      loose: [{ item: 'pin-left/bay-1', before: 'close-left' }],
      photos: [{ photo: 'rib/bay-1', show: 'the left rib' }],
    });
    expect(stepOf(plan, 'look')).toMatchObject({ gate: 'close-left', hold: { lookFor: ['the left rib'] } });
    expect(JSON.stringify(plan, (_, value: unknown) => (typeof value === 'bigint' ? 0 : value))).not.toContain(
      '<each>',
    );
  });

  test('that is not given leaves the texts as they are written', () => {
    expect(planOf(bays).title).toBe('The <each> bays');
    expect('side' in planOf(bays)).toBe(false);
  });
});

describe('a step with for', () => {
  const plan = planOf(bays, 'right');

  test('becomes one step for each, in the order of the file', () => {
    expect(plan.steps.map(({ step, base, instance }) => [step, base, instance])).toEqual([
      ['fit/bay-1', 'fit', 'bay-1'],
      ['fit/bay-2', 'fit', 'bay-2'],
      ['mix/bay-1', 'mix', 'bay-1'],
      ['mix/bay-2', 'mix', 'bay-2'],
      ['spread/bay-1', 'spread', 'bay-1'],
      ['spread/bay-2', 'spread', 'bay-2'],
      ['cure', 'cure', undefined],
      ['cure-each/bay-1', 'cure-each', 'bay-1'],
      ['cure-each/bay-3', 'cure-each', 'bay-3'],
      ['look', 'look', undefined],
    ]);
  });

  test('named by itself, means its own instance', () => {
    const fit = stepOf(plan, 'fit/bay-2');
    expect(fit?.backTo).toBe('fit/bay-2');
    expect(fit?.readings.map((reading) => reading.reading)).toEqual(['gap/bay-2', 'second/bay-2']);
    const second = readingOf(plan, 'second/bay-2')?.reading;
    expect(second !== undefined && 'limits' in second && limitRefs(second.limits!)).toEqual(['gap/bay-2']);
    const length = resultOf(plan, 'length/bay-2')?.result;
    expect(length?.from.grip).toEqual({ kind: 'id', id: 'gap/bay-2' });
    expect(limitRefs(length!.limits!)).toEqual(['gap/bay-2']);
  });

  test('named by a step with the same instance, means that instance', () => {
    const spread = stepOf(plan, 'spread/bay-1');
    expect(spread).toMatchObject({ inPotLifeOf: ['mix/bay-1'], backTo: 'fit/bay-1', onlyIf: { reading: 'gap/bay-1' } });
    expect(limitRefs(spread!.onlyIf!.is)).toEqual(['second/bay-1']);
    expect(stepOf(plan, 'cure-each/bay-1')?.cure?.of).toEqual(['mix/bay-1']);
  });

  test('named from elsewhere, means all instances', () => {
    expect(stepOf(plan, 'cure')?.cure?.of).toEqual(['mix/bay-1', 'mix/bay-2']);
    expect(stepOf(plan, 'cure-each/bay-3')?.cure?.of).toEqual(['mix/bay-1', 'mix/bay-2']);
    expect(stepOf(plan, 'look')).toMatchObject({
      afterStage: { cures: ['cure-each/bay-1', 'cure-each/bay-3'] },
      closes: ['pin-right/bay-1', 'pin-right/bay-2'],
      hold: { of: ['fit/bay-1', 'fit/bay-2', 'cure'] },
    });
  });

  test('is found only by its expanded id', () => {
    expect(stepOf(plan, 'fit')).toBeUndefined();
    expect(readingOf(plan, 'gap')).toBeUndefined();
    expect(readingOf(plan, 'gap/bay-1')?.step.step).toBe('fit/bay-1');
    expect(resultOf(plan, 'length/bay-1')?.step.step).toBe('fit/bay-1');
  });
});
