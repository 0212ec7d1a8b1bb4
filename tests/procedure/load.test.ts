import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readBytes, readProcedure } from '../../src/procedure/load.ts';
import type { Procedure } from '../../src/procedure/model.ts';
import { printQuantity } from '../../src/quantity/quantity.ts';

const everyKey = readFileSync(new URL('every-key.yaml', import.meta.url), 'utf8');
const head = 'procedure: demo\ntitle: Demo\nrevision: A\n';

const read = (text: string): Procedure => {
  const { procedure, messages } = readProcedure(text, 'f', { checks: false });
  expect(messages).toEqual([]);
  return procedure!;
};

const told = (text: string): string[] =>
  readProcedure(text, 'f', { checks: false }).messages.map(({ line, column, code }) => `${line}:${column} ${code}`);

describe('a file with every key', () => {
  const procedure = read(everyKey);
  const [dryFit, glue, close, bondCure, snap, bolts, elbow, look] = procedure.steps;

  test('has a head', () => {
    expect(procedure).toMatchObject({
      procedure: 'keel-scarf-bond',
      manual: { document: 'A1-BM', section: '5.3', revision: '3.2', date: '2026-03-01' },
      each: ['left', 'right'],
      after: [
        { procedure: 'adhesive-coupons', sameLot: false },
        { procedure: 'rear-spar', notOlder: { months: 6, ms: 0 }, sameLot: true },
      ],
      answers: { bulletin: 'B-12', of: 'rear-spar' },
      strict: true,
      takes: { ms: 3 * 3_600_000 },
      people: 1,
      gather: {
        tools: [{ tool: 'torque-wrench', inDate: true }, { tool: 'scale' }],
        materials: [{ material: 'adhesive', lot: true, inDate: true }, { material: 'sealant' }],
        parts: [{ part: 'A1-27-114', quantity: 2, serial: true }],
        shop: { aboveDewPoint: { low: { base: { unit: { dimension: 'temperature-difference' } } } } },
      },
      warnings: ['Mind the glue'],
    });
    expect(procedure.charts[0]?.of.map(({ x, y }) => [printQuantity(x), printQuantity(y)])).toEqual([
      ['0 °C', '140 N'],
      ['10 °C', '160 N'],
      ['20 °C', '180 N'],
    ]);
  });

  test('has a step with readings and results', () => {
    expect(dryFit).toMatchObject({
      step: 'dry-fit',
      for: ['bay-1', 'bay-2'],
      warnings: ['May hurt.'],
      critical: true,
      permanent: false,
      wait: { ms: 30 * 60_000 },
      materials: ['sealant'],
      parts: ['A1-27-114'],
      backTo: 'dry-fit',
      again: { at: ['1 h', '10 h'], every: '50 h', count: 'engine hours' },
    });
    expect(dryFit?.readings).toMatchObject([
      { reading: 'gap', kind: 'quantity', guarded: false, times: 1, positions: [] },
      { reading: 't', guarded: true, tries: 2, blind: true, positions: ['root', 'mid', 'tip'] },
      { reading: 'n', kind: 'count', limits: { text: '1 to 3' } },
      { reading: 'lot', kind: 'text' },
      { reading: 'film', kind: 'choice', accept: ['even'] },
    ]);
    expect(dryFit?.results).toMatchObject([
      { calculation: 'rivet-length', from: { grip: { kind: 'id', id: 'gap' }, diameter: { kind: 'quantity' } } },
    ]);
  });

  test('has a mix, a cure and what depends on them', () => {
    expect(glue?.noLaterThan).toMatchObject({ after: ['dry-fit'], time: { ms: 24 * 3_600_000 } });
    expect(glue?.mix).toMatchObject({
      ratio: [
        { part: 'resin', share: '100' },
        { part: 'hardener', share: '44' },
      ],
      potLife: [{ time: { ms: 35 * 60_000 } }, { time: { ms: 20 * 60_000 } }],
      sample: true,
      tool: 'scale',
    });
    expect(close).toMatchObject({ inPotLifeOf: ['glue'], reliesOn: ['keel-line'], covers: ['frame-bay-3'] });
    expect(bondCure?.cure).toMatchObject({ of: ['glue'], until: 'handle', between: 'stated' });
    expect(bondCure?.cure?.stages.map(({ stage, points }) => [stage, points.map(({ at }) => at.text)])).toEqual([
      ['handle', ['18 °C', '25 °C']],
      ['full', ['20 °C']],
    ]);
    expect(snap).toMatchObject({
      afterStage: { cures: ['bond-cure'], stage: 'handle' },
      break: { notBefore: 'handle' },
    });
  });

  test('has fasteners, a hold and a loose item', () => {
    expect(bolts?.tighten).toMatchObject({
      fasteners: 8,
      order: [1, 5, 3, 7, 2, 6, 4, 8],
      drag: 'measured',
      mark: true,
    });
    expect(elbow?.tighten).toMatchObject({ fasteners: 1, order: [1], tries: 2, never: 'back off to line up' });
    expect(elbow?.loose).toMatchObject([{ item: 'elbow-fitting', count: 1, before: 'first-start' }]);
    expect(elbow?.photos).toMatchObject([{ photo: 'bay-3', from: 'starboard' }]);
    expect(look).toMatchObject({
      closes: ['elbow-fitting'],
      hold: { kind: 'hold', by: 'inspector', remote: false, of: ['glue', 'close'], self: { ms: 24 * 3_600_000 } },
    });
  });
});

describe('what a file does not say', () => {
  const step = (body: string) => read(`${head}steps:\n  - step: m\n    title: M\n${body}`).steps;

  test('a hold inspects everything since the last one, may be remote, and is released by an inspector', () => {
    const [, hold] = step('  - { step: h, title: H, hold: { look-for: [glue] } }\n');
    expect(hold?.hold).toEqual({ kind: 'hold', by: 'inspector', lookFor: ['glue'], remote: true });
  });

  test('a witness point is for a witness', () => {
    const [, hold] = step('  - { step: h, title: H, hold: { kind: witness } }\n');
    expect(hold?.hold).toMatchObject({ kind: 'witness', by: 'witness' });
  });

  test('a cure waits for its first stage, and nothing counts below its coldest point', () => {
    const [, cure] = step(
      '    mix: { material: g, ratio: { a: 1, b: 1 }, tolerance: 2 % }\n' +
        '  - { step: c, title: C, cure: { of: m, stages: { handle: [24 h at 25 °C, 48 h at 18 °C], full: 7 d at 20 °C } } }\n',
    );
    expect(cure?.cure).toMatchObject({ until: 'handle', floor: { text: '18 °C' } });
  });

  test('every choice is within', () => {
    const [first] = step('    readings: [{ reading: r, choices: [wet, dry] }]\n');
    expect(first?.readings[0]).toMatchObject({ accept: ['wet', 'dry'] });
  });
});

describe('all messages come in one pass, and none that only follows from another', () => {
  test('of several steps', () => {
    const text = `${head}people: two
steps:
  - step: Dry Fit
    titel: Fit
    readings:
      - { reading: gap, unit: mmm, limits: at most 2 N, tries: few }
      - { reading: wide, unit: mm, limits: 5 to 3 mm }
  - step: mix
    title: Mix
    mix: { material: glue, ratio: { a: 100, b: x }, tolerance: much, batch: 2 to 1 g }
  - step: close
    title: Close
    back-to: dry-fit
    in-pot-life-of: mixx
    only-if: { reading: gap, is: more than 1 mm }
`;
    expect(told(text)).toEqual([
      '4:9 wrong-kind',
      '6:11 id-unreadable',
      '7:5 unknown-key',
      '9:31 unit-unknown',
      '9:64 limits-unreadable',
      '10:44 limits-empty',
      '13:48 wrong-kind',
      '13:64 quantity-unreadable',
      '13:77 limits-empty',
      '17:21 unknown-reference',
    ]);
  });

  test('an empty value has one message', () => {
    expect(told(`${head}steps:\n  - step: a\n    title:\n    readings:\n      - reading: x #1\n`)).toEqual([
      '6:5 empty-value',
      '8:20 text-cut',
    ]);
  });

  test('nothing is unknown that may be a reading whose id cannot be read', () => {
    expect(
      told(
        `${head}steps:\n  - step: a\n    title: A\n    readings: [{ reading: , unit: mm }, { reading: y, unit: mm, limits: at most x }]\n`,
      ),
    ).toEqual(['7:18 empty-value']);
  });
});

describe('the name of the file', () => {
  const text = `${head}steps: [{ step: a, title: A }]\n`;

  test('must be the id in a folder', () => {
    expect(readProcedure(text, 'other.yaml', { name: 'other' }).messages).toMatchObject([
      { code: 'name-differs', line: 1, column: 12 },
    ]);
    expect(readProcedure(text, 'demo.yaml', { name: 'demo' }).messages).toEqual([]);
  });
});

test('bytes are read as text', () => {
  const bytes = new TextEncoder().encode(everyKey);
  expect(readBytes(bytes, 'f', { checks: false }).procedure).toEqual(read(everyKey));
  expect(readBytes(new Uint8Array([0xff]), 'f').messages).toMatchObject([{ code: 'not-utf8' }]);
});

test('a calculation gets the points of the chart that it names', () => {
  const { steps } = read(
    `${head}charts: [{ chart: tension, of: [0 °C, 140 N, 10 °C, 160 N] }]\nsteps:\n  - step: a\n    title: A\n` +
      '    readings: [{ reading: shop, unit: °C }]\n' +
      '    results: [{ result: target, calculation: chart, from: { at: shop, chart: tension } }]\n',
  );
  expect(steps[0]?.results[0]?.from.chart).toEqual({ kind: 'text', text: '0 °C; 140 N; 10 °C; 160 N' });
});

test('a file with very many faults has the messages of the first', () => {
  const { messages } = readProcedure(`${head}${'x: &a y\n'.repeat(3000)}steps: [{ step: a, title: A }]\n`, 'f');
  expect(messages.length).toBe(1001);
  expect(messages.at(-1)).toMatchObject({ code: 'too-many', line: messages.at(-2)?.line });
});

test.each([
  ['sides', `each: [${Array.from({ length: 101 }, (_, n) => `s${n}`).join(', ')}]\nsteps: [{ step: a, title: A }]\n`],
  ['fasteners', 'steps: [{ step: a, title: A, tighten: { fasteners: 501, torque: 1 to 2 N·m } }]\n'],
])('more %s than there may be are reported', (_, rest) => {
  expect(readProcedure(`${head}${rest}`, 'f', { checks: false }).messages).toMatchObject([
    { code: 'value-impossible' },
  ]);
});
