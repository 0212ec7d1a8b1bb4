import type { MessageCode } from '../../src/procedure/codes.ts';
import { type Example, head, steps, reading, told, inHead, mixed, glued, mix, cured } from './example-texts.ts';
import { further } from './further-examples.ts';

const yaml: readonly Example[] = [
  { code: 'control-character', bad: inHead('>purpose: "clear\\e[2J"'), good: inHead('purpose: clear') },
  { code: 'tab', bad: inHead('>purpose: a\tb'), good: inHead('purpose: a b') },
  { code: 'byte-order-mark', bad: `>\ufeff${steps('')}`, good: steps('') },
  { code: 'empty-file', bad: '># nothing yet\n', good: steps('') },
  { code: 'not-yaml', bad: inHead('>purpose: Note: this'), good: inHead("purpose: 'Note: this'") },
  { code: 'too-deep', bad: inHead(`>purpose: ${'['.repeat(1000)}`), good: inHead('purpose: shallow') },
  { code: 'directive', bad: `>%YAML 1.1\n---\n${steps('')}`, good: `---\n${steps('')}` },
  { code: 'tag', bad: inHead('>purpose: !!str text'), good: inHead('purpose: text') },
  { code: 'anchor', bad: inHead('>purpose: &x text'), good: inHead("purpose: '&x text'") },
  { code: 'alias', bad: inHead('>purpose: *x'), good: inHead("purpose: '*x'") },
  { code: 'several-documents', bad: `${steps('')}>---\na: b\n`, good: steps('') },
  { code: 'duplicate-key', bad: inHead('>title: Again'), good: inHead('purpose: Once') },
  { code: 'key-unreadable', bad: inHead('>? [a]\n: b'), good: inHead('purpose: b') },
  { code: 'empty-value', bad: inHead('>purpose:'), good: inHead('purpose: text') },
  { code: 'text-cut', bad: inHead('>purpose: bolt #10-32'), good: inHead("purpose: 'bolt #10-32' # a comment") },
  {
    code: 'text-split',
    bad: steps(told('ask: Gap, largest, unit: mm')),
    good: steps(reading("ask: 'Gap, largest', unit: mm")),
  },
  {
    code: 'list-split',
    level: 'warning',
    bad: inHead('>warnings: [It burns, and it smokes]'),
    good: inHead("warnings: ['It burns, and it smokes', Mind it]"),
  },
];

const shape: readonly Example[] = [
  { code: 'unknown-key', bad: inHead('>purpos: text'), good: inHead('purpose: text') },
  { code: 'missing-key', bad: '>title: T\nrevision: A\nsteps: [{ step: a, title: A }]\n', good: steps('') },
  {
    code: 'key-elsewhere',
    bad: steps(told('text: true, limits: at most 1 mm')),
    good: steps(reading('unit: mm, limits: at most 1 mm')),
  },
  { code: 'wrong-kind', bad: inHead('>people: two'), good: inHead('people: 2') },
  {
    code: 'unknown-value',
    bad: steps(told('choices: [yes, no], accept: [ys]')),
    good: steps(reading('choices: [yes, no], accept: [yes]')),
  },
  { code: 'value-impossible', bad: glued(`>${mixed('pot-life: 0 min')}`), good: glued(mix) },
  { code: 'id-unreadable', bad: `${head}steps:\n>  - { step: Dry Fit, title: A }\n`, good: steps('') },
  {
    code: 'duplicate-id',
    bad: `${head}steps:\n  - { step: a, title: A }\n>  - { step: a, title: B }\n`,
    good: steps('', ''),
  },
  { code: 'reading-kind', bad: steps(told('ask: Gap')), good: steps(reading('unit: mm')) },
  {
    code: 'order-wrong',
    bad: steps('>tighten: { fasteners: 3, order: [1, 3], torque: 1 to 2 N·m, source: manual }'),
    good: steps('tighten: { fasteners: 3, order: [1, 3, 2], torque: 1 to 2 N·m, source: manual }'),
  },
  {
    code: 'chart-wrong',
    bad: inHead('>charts: [{ chart: t, of: [10 °C, 1 N, 5 °C, 2 N] }]'),
    good: inHead('charts: [{ chart: t, of: [5 °C, 1 N, 10 °C, 2 N] }]'),
  },
];

const quantities: readonly Example[] = [
  {
    code: 'quantity-unreadable',
    bad: glued(`>${mix.replace('2 %', 'small')}`),
    good: glued(mix),
  },
  {
    code: 'quantity-ambiguous',
    bad: steps(told('unit: mm, limits: "at most 1,234 mm"')),
    good: steps(reading('unit: mm, limits: "at most 1,23 mm"')),
  },
  {
    code: 'unit-missing',
    bad: steps(told('unit: mm, limits: at most 0.2')),
    good: steps(reading('unit: mm, limits: at most 0.2 mm')),
  },
  { code: 'unit-unknown', bad: steps(told('unit: mmm')), good: steps(reading('unit: mm')) },
  {
    code: 'unit-dimension',
    bad: steps(told('unit: mm, limits: at most 0.2 N')),
    good: steps(reading('unit: mm, limits: at most 0.01 in')),
  },
  { code: 'duration-unreadable', bad: steps('>takes: soon'), good: steps('takes: 1 h 30 min') },
  {
    code: 'span-unreadable',
    bad: inHead('>after: [{ procedure: other, not-older: 6 }]'),
    good: inHead('after: [{ procedure: other, not-older: 6 months }]'),
  },
  {
    code: 'day-unreadable',
    bad: inHead('>manual: { date: 2026-02-30 }'),
    good: inHead('manual: { date: 2026-02-28 }'),
  },
  {
    code: 'limits-unreadable',
    bad: steps(told('unit: mm, limits: about 3 mm')),
    good: steps(reading('unit: mm, limits: 3 ± 1 mm')),
  },
  {
    code: 'limits-empty',
    bad: steps(told('unit: mm, limits: 5 to 3 mm')),
    good: steps(reading('unit: mm, limits: 3 to 5 mm')),
  },
];

const references: readonly Example[] = [
  { code: 'unknown-reference', bad: steps('>back-to: c', ''), good: steps('back-to: a', '') },
  {
    code: 'later-reference',
    bad: steps('>no-later-than: { after: b, time: 24 h }', ''),
    good: steps('', 'no-later-than: { after: a, time: 24 h }'),
  },
  { code: 'later-reference', bad: steps('>back-to: b', ''), good: steps('', 'back-to: a') },
  { code: 'reference-kind', bad: steps('', '>in-pot-life-of: a'), good: glued(mix, 'in-pot-life-of: a') },
  {
    code: 'reference-many',
    bad: steps(`for: [left, right]\n${reading('unit: mm')}`, '>only-if: { reading: gap, is: more than 1 mm }'),
    good: steps(
      `for: [left, right]\n${reading('unit: mm')}`,
      'for: [left, right]\nonly-if: { reading: gap, is: more than 1 mm }',
    ),
  },
  {
    code: 'unknown-calculation',
    bad: steps('results:\n>  - { result: r, calculation: rivet-lenght, from: { grip: 2 mm, diameter: 3 mm } }'),
    good: steps('results:\n  - { result: r, calculation: rivet-length, from: { grip: 2 mm, diameter: 3 mm } }'),
  },
  {
    code: 'each-missing',
    bad: steps(`>do: Look at the <each> side.`),
    good: steps('do: Look at the <each> side.').replace('steps:', 'each: [left, right]\nsteps:'),
  },
];

const cures: readonly Example[] = [
  {
    code: 'cure-schedule',
    bad: glued(mix, `>${cured('{ handle: [24 h at 18 °C, 30 h at 25 °C] }')}`),
    good: glued(mix, cured('{ handle: [30 h at 18 °C, 24 h at 25 °C] }')),
  },
  {
    code: 'cure-floor',
    bad: glued(mix, `>${cured('{ handle: 24 h at 18 °C }', ', floor: 20 °C')}`),
    good: glued(mix, cured('{ handle: 24 h at 18 °C }', ', floor: 18 °C')),
  },
  {
    code: 'unknown-stage',
    bad: glued(mix, cured('{ handle: 24 h at 18 °C }'), '>after-stage: { cure: b, stage: full }'),
    good: glued(mix, cured('{ handle: 24 h at 18 °C, full: 7 d at 18 °C }'), 'after-stage: { cure: b, stage: full }'),
  },
];

const permanent = 'permanent: true\nsets: [line]';

const trade: readonly Example[] = [
  {
    code: 'proof-missing',
    bad: steps('', 'permanent: true\n>sets: [line]', 'relies-on: [line]'),
    good: steps('proves: [line]', permanent, 'relies-on: [line]'),
  },
  {
    code: 'proof-missing',
    bad: steps('permanent: true\nproves: [line]\n>sets: [line]', 'relies-on: [line]'),
    good: steps('permanent: true\nproves: [line]\nsets: [line]', 'relies-on: [line]').replace(
      'steps:',
      'after: [dry-trial]\nsteps:',
    ),
  },
  { code: 'permanent-missing', level: 'warning', bad: steps('>sets: [line]'), good: steps(permanent) },
  {
    code: 'feature-unset',
    bad: steps('>relies-on: [line]'),
    good: steps('relies-on: [line]').replace('steps:', 'after: [other]\nsteps:'),
  },
  {
    code: 'covered-early',
    bad: steps('>covers: [bay]', 'reaches: [bay]'),
    good: steps('covers: [bay]', 'uncovers: [bay]\nreaches: [bay]'),
  },
  { code: 'hold-empty', bad: steps('>hold: { by: inspector }'), good: steps('', 'hold: { by: inspector }') },
  {
    code: 'pot-life-short',
    bad: glued(`takes: 10 min\n>${mix}`, 'takes: 26 min\nin-pot-life-of: a'),
    good: glued(`takes: 10 min\n${mix}`, 'takes: 25 min\nin-pot-life-of: a'),
  },
  {
    code: 'pot-life-tight',
    level: 'warning',
    bad: glued(`>${mixed('pot-life: [35 min at 20 °C, 20 min at 28 °C]')}`, 'takes: 21 min\nin-pot-life-of: a'),
    good: glued(mixed('pot-life: [35 min at 20 °C, 20 min at 28 °C]'), 'takes: 20 min\nin-pot-life-of: a'),
  },
  {
    code: 'helper-late',
    bad: glued(mix, '>people: 2\nin-pot-life-of: a'),
    good: glued(`people: 2\n${mix}`, 'people: 2\nin-pot-life-of: a'),
  },
  { code: 'not-in-gather', bad: glued(told('unit: mm, tool: caliper')), good: glued(reading('unit: mm')) },
  { code: 'not-in-gather', bad: steps('>materials: [sealant]'), good: glued('materials: [glue]') },
  {
    code: 'not-in-gather',
    bad: glued('>parts: [A1-27-114]'),
    good: glued('parts: [A1-27-114]').replace('] }', '], parts: [{ part: A1-27-114, serial: true }] }'),
  },
  {
    code: 'not-in-steps',
    level: 'warning',
    bad: inHead('>gather: { materials: [{ material: sealant, lot: true }] }'),
    good: inHead('gather: { materials: [{ material: sealant }] }'),
  },
  {
    code: 'not-in-steps',
    level: 'warning',
    bad: inHead('>gather: { parts: [{ part: A1-27-114, serial: true }] }'),
    good: inHead('gather: { parts: [{ part: A1-27-114, quantity: 2 }] }'),
  },
  {
    code: 'loose-open',
    bad: steps('loose:\n>  - { item: plug, left: in, because: test, before: launch }', 'gate: launch'),
    good: steps('loose:\n  - { item: plug, left: in, because: test, before: launch }', 'closes: [plug]\ngate: launch'),
  },
  { code: 'after-loop', bad: inHead('>after: [demo]'), good: inHead('after: [other]') },
  {
    code: 'never-accepted',
    bad: steps(told('count: true, limits: less than 0')),
    good: steps(reading('count: true, limits: at most 0')),
  },
  {
    code: 'never-reached',
    bad: steps(reading('count: true'), '>only-if: { reading: gap, is: less than 0 }'),
    good: steps(reading('count: true'), 'only-if: { reading: gap, is: less than 1 }'),
  },
  {
    code: 'reached-outside',
    level: 'warning',
    bad: steps(reading('unit: mm, limits: at most 1 mm'), '>only-if: { reading: gap, is: more than 1 mm }'),
    good: steps(reading('unit: mm, limits: at most 1 mm'), 'only-if: { reading: gap, is: at least 1 mm }'),
  },
  {
    code: 'source-missing',
    level: 'warning',
    bad: steps('readings:\n>  - { reading: gap, unit: mm, limits: at most 1 mm }'),
    good: steps(reading('unit: mm, limits: at most 1 mm')),
  },
  {
    code: 'two-actions',
    level: 'warning',
    bad: steps('>do: Drill the hole. Rivet the plate.'),
    good: steps('do: Drill the hole through both plates.'),
  },
  {
    code: 'do-long',
    level: 'warning',
    bad: steps(`>do: Look${' along the edge'.repeat(20)}`),
    good: steps(`do: Look${' along the edge'.repeat(19)}`),
  },
  {
    code: 'warning-instruction',
    level: 'warning',
    bad: steps('>warning: Wear gloves.'),
    good: steps('warning: The hardener burns.'),
  },
];

export const examples: readonly Example[] = [
  ...yaml,
  ...shape,
  ...quantities,
  ...references,
  ...cures,
  ...trade,
  ...further,
];

/** Codes that no text of one file alone can have; each has its own test. */
export const elsewhere: readonly MessageCode[] = [
  'unreadable',
  'too-large',
  'not-utf8',
  'too-many',
  'name-differs',
  'unknown-procedure',
  'unknown-gate',
  'gate-order',
];

/** The text without its marks, and the lines that were marked. */
export const unmark = (text: string): { readonly text: string; readonly lines: readonly number[] } => {
  const rows = text.split('\n');
  return {
    text: rows.map((row) => row.replace(/^>/, '')).join('\n'),
    lines: rows.flatMap((row, index) => (row.startsWith('>') ? [index + 1] : [])),
  };
};
