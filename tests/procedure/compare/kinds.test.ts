import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plainChange, type PlainChange } from '../../../src/procedure/compare/change.ts';
import { compareProcedures, type CompareOptions } from '../../../src/procedure/compare/compare.ts';
import { compareLimits } from '../../../src/procedure/compare/limits.ts';
import { parseLimits } from '../../../src/quantity/limits.ts';
import { readProcedure } from '../../../src/procedure/load.ts';
import type { Procedure } from '../../../src/procedure/model.ts';

const head = 'procedure: demo\ntitle: Demo\nrevision: A\n';

/** Read without the checks of the trade, which a comparison does not ask for. */
const procedureOf = (text: string): Procedure => {
  const { procedure, messages } = readProcedure(text, 'demo.yaml', { checks: false });
  if (!procedure) throw new Error(JSON.stringify(messages));
  return procedure;
};

const changesOf = (before: string, after: string, options?: CompareOptions): readonly PlainChange[] =>
  compareProcedures(procedureOf(before), procedureOf(after), options).changes.map(plainChange);

const step = (body: string, id = 'a', title = `Step ${id}`): string =>
  `  - { step: ${id}, title: ${title}${body && `, ${body}`} }\n`;
const file = (...steps: readonly string[]): string => `${head}steps:\n${steps.join('')}`;
const reading = (rest: string): string => file(step(`readings: [{ reading: gap, source: manual, ${rest} }]`));
const one = (before: string, after: string): PlainChange => {
  const changes = changesOf(before, after);
  expect(changes).toHaveLength(1);
  return changes[0]!;
};

describe('the kinds of change', () => {
  it.each([
    ['at most 0.2 mm', 'at most 0.1 mm', 'tighter'],
    ['at most 0.2 mm', 'at most 0.3 mm', 'looser'],
    ['at most 0.2 mm', 'less than 0.2 mm', 'tighter'],
    ['more than 0.2 mm', 'at least 0.2 mm', 'looser'],
    ['12.5 ± 0.1 mm', '12.5 ± 0.05 mm', 'tighter'],
    ['12.5 ± 0.1 mm', '12.5 +0.2 -0.1 mm', 'looser'],
    ['14 ± 0.5 mm', '15 ± 0.5 mm', 'shifted'],
    ['10 to 12 mm', '11 to 20 mm', 'shifted'],
    ['at most 0.2 mm', 'at least 0.2 mm', 'shifted'],
    ['at most 12.7 mm', 'at most 0.5 in', 'same-in-other-unit'],
    ['12.5 ± 0.1 mm', '12.4 to 12.6 mm', 'text'],
    ['12.5 ± 0.1 mm', '1.24 to 1.26 cm', 'same-in-other-unit'],
    ['at most 12.7 mm', 'at most 0.49 in', 'tighter'],
  ])('limits: %s → %s is %s', (before, after, kind) => {
    expect(one(reading(`unit: mm, limits: ${before}`), reading(`unit: mm, limits: ${after}`))).toEqual({
      step: 'a',
      reading: 'gap',
      kind,
      what: 'limits',
      old: before,
      new: after,
    });
  });

  it('limits where there were none are tighter, and none where there were some looser', () => {
    const [bare, limited] = [reading('unit: mm'), reading('unit: mm, limits: at most 1 mm')];
    expect(one(bare, limited)).toEqual({
      step: 'a',
      reading: 'gap',
      kind: 'tighter',
      what: 'limits',
      new: 'at most 1 mm',
    });
    expect(one(limited, bare)).toMatchObject({ kind: 'looser', old: 'at most 1 mm' });
  });

  it('another unit with equal limits is one change', () => {
    const before = reading('unit: mm, limits: at most 25.4 mm, twin: at most 2.54 mm');
    expect(one(before, reading('unit: in, limits: at most 1 in, twin: at most 1/10 in'))).toEqual({
      step: 'a',
      reading: 'gap',
      kind: 'same-in-other-unit',
      what: 'limits',
      old: 'at most 25.4 mm',
      new: 'at most 1 in',
    });
    expect(one(reading('unit: mm'), reading('unit: in'))).toMatchObject({
      kind: 'same-in-other-unit',
      what: 'unit',
      old: 'mm',
      new: 'in',
    });
    expect(one(before, before.replace('unit: mm', 'unit: in'))).toMatchObject({ kind: 'same-in-other-unit' });
    const tighter = changesOf(before, reading('unit: in, limits: at most 0.9 in, twin: at most 1/10 in'));
    expect(tighter.map(({ kind, what }) => `${what} ${kind}`)).toContain('limits tighter');
  });

  it('ends that name the same reading are compared by their tolerances', () => {
    const of = (limits: string): string =>
      file(
        step('readings: [{ reading: target, unit: N, source: manual }, { reading: other, unit: N, source: manual }]'),
        step(`readings: [{ reading: pull, unit: N, limits: ${limits}, source: manual }]`, 'b'),
      );
    expect(one(of('target ± 12 N'), of('target ± 10 N')).kind).toBe('tighter');
    expect(one(of('target ± 12 N'), of('other ± 12 N')).kind).toBe('changed');
    expect(one(of('at least target'), of('at least other')).kind).toBe('changed');
  });

  it('words are text, and the head has no step', () => {
    expect(one(file(step('do: Clamp it.')), file(step('do: Clamp it twice.')))).toEqual({
      step: 'a',
      kind: 'text',
      what: 'do',
      old: 'Clamp it.',
      new: 'Clamp it twice.',
    });
    expect(one(file(step('')), file(step('')).replace('revision: A', 'revision: B'))).toEqual({
      step: '',
      kind: 'changed',
      what: 'revision',
      old: 'A',
      new: 'B',
    });
  });

  it('a reworded warning is text, a new one is added', () => {
    const [a, b] = [
      'warning: Resin sensitises the skin',
      'warning: [Resin sensitises the skin for good, Mind the fumes]',
    ];
    expect(changesOf(file(step(a)), file(step(b)))).toEqual([
      {
        step: 'a',
        kind: 'text',
        what: 'warning',
        old: 'Resin sensitises the skin',
        new: 'Resin sensitises the skin for good',
      },
      { step: 'a', kind: 'added', what: 'warning', new: 'Mind the fumes' },
    ]);
  });

  it('steps: added, removed, moved by the fewest moves', () => {
    const [a, b, c, d] = [
      step('', 'a', 'Drill'),
      step('', 'b', 'Deburr'),
      step('', 'c', 'Rivet'),
      step('', 'd', 'Paint'),
    ];
    expect(changesOf(file(a, b, c), file(a, b, c, d))).toEqual([
      { step: 'd', kind: 'added', what: 'step', new: 'Paint' },
    ]);
    expect(changesOf(file(a, b, c), file(a, c))).toEqual([{ step: 'b', kind: 'removed', what: 'step', old: 'Deburr' }]);
    expect(changesOf(file(a, b, c, d), file(d, a, b, c))).toEqual([
      { step: 'd', kind: 'moved', what: 'step', old: 'after c', new: 'first' },
    ]);
  });

  it('a step that moved and changed has two changes', () => {
    const [a, b] = [step('', 'a', 'Drill'), step('', 'b', 'Deburr')];
    const changes = changesOf(file(a, b, step('people: 2', 'c', 'Rivet')), file(step('people: 3', 'c', 'Rivet'), a, b));
    expect(changes.map(({ step: id, kind, what }) => [id, kind, what])).toEqual([
      ['c', 'moved', 'step'],
      ['c', 'changed', 'people'],
    ]);
  });

  it('a step with its old title under another id, or reworded in its old place, is renamed, and what refers to it has not changed', () => {
    const of = (id: string, extra = ''): string =>
      file(
        step('readings: [{ reading: gap, unit: mm, source: manual }]', id, `Fit the bracket dry${extra}`),
        step(`back-to: ${id}`, 'b', 'Bond'),
      );
    expect(changesOf(of('dry-fit'), of('dry-trial'))).toEqual([
      { step: 'dry-trial', kind: 'renamed', what: 'step', old: 'dry-fit', new: 'dry-trial' },
    ]);
    expect(changesOf(of('dry-fit'), of('trial-fit', ' once')).map(({ kind }) => kind)).toEqual(['renamed', 'text']);
  });

  it('steps that are not alike are removed and added, until a person says that they are the same', () => {
    const [before, after] = [
      file(step('', 'weigh', 'Weigh the resin'), step('', 'b', 'Deburr'), step('', 'c', 'Rivet')),
      file(step('', 'c', 'Rivet'), step('', 'b', 'Deburr'), step('', 'paint', 'Cover all of it')),
    ];
    expect(changesOf(before, after).map(({ kind }) => kind)).not.toContain('renamed');
    expect(changesOf(before, after, { renamed: { weigh: 'paint' } }).map(({ kind }) => kind)).toContain('renamed');
  });

  it('a reading with its old question under another id is renamed, and one in another step is moved', () => {
    const value = (id: string): string =>
      `readings: [{ reading: ${id}, ask: Largest gap under the flange, unit: mm, source: manual }]`;
    expect(one(file(step(value('gap'))), file(step(value('flange-gap'))))).toEqual({
      step: 'a',
      reading: 'flange-gap',
      kind: 'renamed',
      what: 'reading',
      old: 'gap',
      new: 'flange-gap',
    });
    const [a, b] = [step('', 'a', 'Drill'), step('', 'b', 'Deburr')];
    expect(one(file(step(value('gap'), 'a', 'Drill'), b), file(a, step(value('gap'), 'b', 'Deburr')))).toEqual({
      step: 'b',
      reading: 'gap',
      kind: 'moved',
      what: 'reading',
      old: 'in a',
      new: 'in b',
    });
  });

  it('holds, cures, mixes, features, areas, loose items and what is gathered, each by its own keys', () => {
    const every = (
      ratio: string,
      floor: string,
      look: string,
      covers: string,
      count: number,
      inDate: boolean,
    ): string =>
      `${head}gather: { tools: [{ tool: torque-wrench, in-date: ${inDate} }], shop: { temperature: ${floor} to 28 °C } }
steps:
  - { step: mix, title: Mix, mix: { material: adhesive, ratio: { resin: 100, hardener: ${ratio} }, tolerance: 2 %, pot-life: 35 min at 20 °C } }
  - { step: close, title: Close, in-pot-life-of: mix, covers: [${covers}] }
  - { step: wait, title: Cure, cure: { of: mix, stages: { handle: 24 h at 20 °C }, floor: ${floor} } }
  - { step: cap, title: Cap, loose: [{ item: cap, count: ${count}, left: finger tight, because: later, before: first-start }] }
  - { step: look, title: Look, hold: { by: inspector, look-for: [${look}] } }
`;
    const changes = changesOf(
      every('44', '18 °C', 'squeeze-out', 'bay-1', 1, false),
      every('45', '16 °C', 'squeeze-out, cracks', 'bay-1, bay-2', 2, true),
    );
    expect(changes.map(({ step: id, what, kind }) => `${id}: ${what} ${kind}`)).toEqual([
      ': gather tools torque-wrench in-date changed',
      ': gather shop temperature looser',
      'mix: mix ratio hardener changed',
      'close: covers added',
      'wait: cure floor looser',
      'cap: loose cap count changed',
      'look: hold look-for added',
    ]);
  });

  it('an added part is one change, and so is a removed one', () => {
    const held = file(step('hold: { by: inspector, look-for: [cracks] }'));
    expect(one(file(step('')), held)).toMatchObject({
      kind: 'added',
      what: 'hold',
      new: expect.stringContaining('cracks'),
    });
    expect(one(held, file(step('')))).toMatchObject({ kind: 'removed', what: 'hold' });
  });

  it('times in another unit are the same', () => {
    expect(one(file(step('wait: 60 min')), file(step('wait: 1 h')))).toMatchObject({
      kind: 'same-in-other-unit',
      what: 'wait',
    });
    expect(one(file(step('wait: 60 min')), file(step('wait: 2 h'))).kind).toBe('changed');
  });
});

describe('limits are compared whatever their units', () => {
  const parse = (text: string) => {
    const read = parseLimits(text);
    if (!read.ok) throw new Error(read.fault.what);
    return read.value;
  };
  const range = fc
    .tuple(fc.nat(400), fc.nat(100), fc.constantFrom('to', 'most', 'least', 'more', 'less'))
    .map(([low, width, form]) => (factor: number, unit: string) => {
      const [a, b] = [low, low + width].map((value) => `${(value * factor) / 1000} ${unit}`);
      return form === 'to'
        ? `${a} to ${b}`
        : form === 'most' || form === 'least'
          ? `at ${form} ${a}`
          : `${form} than ${a}`;
    });

  it('the same in inches as in millimetres, and reversed when old and new are exchanged', () => {
    const backwards = { same: 'same', tighter: 'looser', looser: 'tighter', shifted: 'shifted', changed: 'changed' };
    fc.assert(
      fc.property(range, range, (one, other) => {
        const told = compareLimits(parse(one(10, 'in')), parse(other(10, 'in')));
        expect(compareLimits(parse(one(254, 'mm')), parse(other(10, 'in')))).toBe(told);
        expect(compareLimits(parse(one(10, 'in')), parse(other(254, 'mm')))).toBe(told);
        expect(compareLimits(parse(other(254, 'mm')), parse(one(10, 'in')))).toBe(backwards[told]);
        expect(compareLimits(parse(one(10, 'in')), parse(one(254, 'mm')))).toBe('same');
      }),
    );
  });
});
