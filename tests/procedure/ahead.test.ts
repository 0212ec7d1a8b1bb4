import { describe, expect, test } from 'vitest';
import { commitsOf } from '../../src/procedure/ahead.ts';
import { reportAhead } from '../../src/procedure/ahead-report.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import type { Procedure } from '../../src/procedure/model.ts';
import { planFor } from '../../src/procedure/plan.ts';

const procedure = (id: string, head: string, ...steps: readonly string[]): Procedure => {
  const rows = steps.map(
    (step, index) => `  - { step: s${index}, title: ${id} ${index}${step === '' ? '' : `, ${step}`} }`,
  );
  const text = [`procedure: ${id}`, 'title: T', 'revision: A', ...(head === '' ? [] : [head]), 'steps:', ...rows, ''];
  const read = readProcedure(text.join('\n'), `${id}.yaml`, { checks: false });
  expect(read.messages).toEqual([]);
  return read.procedure!;
};

const permanent = 'permanent: true';

/** A report in short: `feature < proofs > reliers`, `area: reachers`, each step with when it is carried out. */
const told = (folder: readonly Procedure[], step = 's1', side?: string): readonly string[] => {
  const found = reportAhead(folder[0]!, step, folder, side);
  if (!found.ok) return [found.fault.code];
  const words = (steps: (typeof found.value)[number]['covers'][number]['reachedBy']): string =>
    steps.map((one) => `${one.when} ${one.title}${one.side === undefined ? '' : ` ${one.side}`}`).join(', ');
  return found.value.flatMap(({ features, covers, reaches, side: own }) => [
    ...(own === undefined ? [] : [own]),
    ...features.map((one) => `${one.feature} < ${words(one.provedBy)} > ${words(one.reliedOnBy)}`),
    ...covers.map((one) => `${one.area}: ${words(one.reachedBy)}`),
    ...reaches.map((one) => `${one.area} under ${words(one.coveredBy)}`),
  ]);
};

describe('a feature', () => {
  const bond = procedure('bond', '', 'proves: [line]', `${permanent}, sets: [line]`, 'relies-on: [line]');

  test('names its dry trials and the steps that rely on it: further down, in a procedure after, in no order', () => {
    const after = procedure('rig', 'after: [bond]', 'relies-on: [line]');
    const open = procedure('trim', '', 'relies-on: [line]');
    expect(told([bond, after, open])).toEqual(['line < before bond 0 > below bond 2, after rig 0, open trim 0']);
  });

  test('is proved by a procedure that comes before, and that procedure does not rely on it', () => {
    const later = procedure('bond', 'after: [trial]', '', `${permanent}, sets: [line]`);
    const trial = procedure('trial', '', 'proves: [line], relies-on: [line]');
    expect(told([later, trial])).toEqual(['line < before trial 0 > ']);
  });
});

describe('an area', () => {
  const close = procedure('close', '', '', 'covers: [bay]', '', 'reaches: [bay]');

  test('names every step that must still reach it', () => {
    const cable = procedure('cable', 'after: [close]', 'reaches: [bay]', 'uncovers: [bay]', 'reaches: [bay]');
    expect(told([close, cable])).toEqual(['bay: below close 3, after cable 0']);
  });

  test('names none where it is uncovered first, in the same procedure or in one between', () => {
    const opens = procedure('close', '', '', 'covers: [bay]', 'uncovers: [bay]', 'reaches: [bay]');
    const cable = procedure('cable', 'after: [open]', 'reaches: [bay]');
    expect(told([opens, cable])).toEqual(['bay: ']);
    const open = procedure('open', 'after: [close]', 'uncovers: [bay]');
    expect(told([close, open, cable])).toEqual(['bay: below close 3']);
  });
});

describe('an area that a step must reach', () => {
  const cable = procedure('cable', '', '', 'reaches: [bay]');
  const close = procedure('close', '', 'covers: [bay]');

  test('names what may have covered it: above, in a procedure before, in no order, and nothing that comes after', () => {
    const own = procedure('cable', '', 'covers: [bay]', 'reaches: [bay]');
    expect(told([own, close])).toEqual(['bay under before cable 0']);
    expect(told([cable, close])).toEqual(['bay under open close 0']);
    expect(told([procedure('cable', 'after: [close]', '', 'reaches: [bay]'), close])).toEqual([
      'bay under before close 0',
    ]);
    expect(told([cable, procedure('close', 'after: [cable]', 'covers: [bay]')])).toEqual(['bay under ']);
  });

  test('names nothing where it is uncovered first: by the step itself, above it, or in a procedure between', () => {
    expect(told([procedure('cable', '', '', 'uncovers: [bay], reaches: [bay]'), close])).toEqual(['bay under ']);
    expect(told([procedure('cable', '', 'uncovers: [bay]', 'reaches: [bay]'), close])).toEqual(['bay under ']);
    const open = procedure('open', 'after: [close]', 'uncovers: [bay]');
    expect(told([procedure('cable', 'after: [open]', '', 'reaches: [bay]'), close, open])).toEqual(['bay under ']);
  });
});

describe('sides and instances', () => {
  const close = procedure('close', 'each: [left, right]', '', 'covers: [bay-<each>]');
  const cable = procedure('cable', '', 'reaches: [bay-left]');

  test('reports each side, or one side where that is asked for', () => {
    expect(told([close, cable])).toEqual(['left', 'bay-left: open cable 0', 'right', 'bay-right: ']);
    expect(told([close, cable], 's1', 'right')).toEqual(['bay-right: ']);
  });

  test('reports once what is the same for all sides', () => {
    const same = procedure('close', 'each: [left, right]', '', 'covers: [hull]');
    expect(told([same, procedure('cable', 'each: [fore, aft]', 'reaches: [hull]')])).toEqual([
      'hull: open cable 0 fore, open cable 0 aft',
    ]);
  });

  test('reports every instance of a step with for, or the one that is named', () => {
    const bays = procedure('close', '', '', 'for: [one, two], covers: [bay]');
    expect(told([bays])).toHaveLength(2);
    expect(told([bays], 's1/two')).toHaveLength(1);
  });

  test('refuses a step or a side that is not there', () => {
    expect(told([close], 's9')).toEqual(['unknown-id']);
    expect(told([close], 's1', 'top')).toEqual(['side-unknown']);
    expect(told([cable], 's0', 'left')).toEqual(['side-unknown']);
  });
});

test('a mix commits to every permanent step that its glue will bind, and those steps commit to nothing more', () => {
  const mix = 'mix: { material: glue, ratio: { a: 1, b: 1 }, tolerance: 2 % }';
  const glue = procedure('glue', '', mix, `${permanent}, in-pot-life-of: s0`, permanent, 'in-pot-life-of: s0');
  const plan = planFor(glue);
  expect(plan.steps.map((step) => commitsOf(plan, step).map(({ step: id }) => id))).toEqual([['s1'], [], ['s2'], []]);
  const report = reportAhead(glue, 's0', [glue]);
  expect(report.ok && report.value.map(({ step, with: mixed }) => [step, mixed])).toEqual([
    ['s0', undefined],
    ['s1', 's0'],
  ]);
});
