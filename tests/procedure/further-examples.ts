import { type Example, steps, reading, told, mixed, glued, mix, cured } from './example-texts.ts';

const calculated = (rest: string): string =>
  `results:\n  - { result: r, calculation: rivet-length, ${rest}, source: m }`;
const toldOf = (rest: string): string => calculated(rest).replace('\n', '\n>');
const typed = 'from: { grip: 2 mm, diameter: 3 mm }';
const measured = (unit: string): string => reading(`unit: ${unit}`);
const tightened = (rest: string): string => `tighten: { fasteners: 1, ${rest}, source: manual }`;

/** Further cases of codes, each in another way. */
export const further: readonly Example[] = [
  {
    code: 'feature-unset',
    bad: steps('>relies-on: [line]', 'proves: [line]', 'permanent: true\nsets: [line]'),
    good: steps('proves: [line]', 'permanent: true\nsets: [line]', 'relies-on: [line]'),
  },
  {
    code: 'unit-dimension',
    bad: steps(toldOf(`${typed}, limits: at most 8 N`)),
    good: steps(calculated(`${typed}, limits: at most 8 mm`)),
  },
  {
    code: 'unit-dimension',
    bad: steps(measured('N'), toldOf('from: { grip: gap, diameter: 3 mm }')),
    good: steps(measured('mm'), calculated('from: { grip: gap, diameter: 3 mm }')),
  },
  {
    code: 'unit-dimension',
    bad: steps(calculated(typed), `readings:\n>  - { reading: force, unit: N, limits: at least r, source: m }`),
    good: steps(calculated(typed), `readings:\n  - { reading: length, unit: cm, limits: at least r, source: m }`),
  },
  {
    code: 'unit-missing',
    bad: steps(toldOf(`${typed}, limits: at most 8`)),
    good: steps(calculated(`${typed}, limits: at most 8 mm`)),
  },
  {
    code: 'unit-missing',
    bad: glued(`>${mixed('pot-life: [35 min, 20 min at 28 °C]')}`),
    good: glued(mixed('pot-life: 35 min')),
  },
  {
    code: 'reference-many',
    bad: steps(reading('unit: mm, positions: [root, tip]'), toldOf('from: { grip: gap, diameter: 3 mm }')),
    good: steps(reading('unit: mm, positions: [root]'), calculated('from: { grip: gap, diameter: 3 mm }')),
  },
  {
    code: 'reference-many',
    bad: steps(
      reading('unit: mm, times: 3'),
      'readings:\n>  - { reading: length, unit: mm, limits: at least gap, source: m }',
    ),
    good: steps(
      `${reading('unit: mm, times: 3')}\nresults:\n  - { result: middle, calculation: mean, from: { value: gap } }`,
      'readings:\n  - { reading: length, unit: mm, limits: at least middle, source: m }',
    ),
  },
  {
    code: 'cure-schedule',
    bad: glued(`>${mixed('pot-life: [20 min at 20 °C, 35 min at 28 °C]')}`),
    good: glued(mixed('pot-life: [35 min at 20 °C, 20 min at 28 °C]')),
  },
  {
    code: 'id-unreadable',
    bad: glued(`>${mix.replace('hardener', '1')}`),
    good: glued(mix.replace('hardener', 'a')),
  },
  {
    code: 'unknown-stage',
    bad: glued(mix, '>break: { of: a, not-before: full }'),
    good: glued(mix, cured('{ full: 7 d at 20 °C }'), 'break: { of: a, not-before: full }'),
  },
  {
    code: 'value-impossible',
    bad: glued(mix, `>${cured('{ handle: 24 h at 18 °C }', ', reading-every: 0 h')}`),
    good: glued(mix, cured('{ handle: 24 h at 18 °C }', ', reading-every: 1 h')),
  },
  {
    code: 'value-impossible',
    bad: steps(`>${tightened('torque: 1 to 2 N·m, adapter: -305 mm, wrench: 305 mm')}`),
    good: steps(tightened('torque: 1 to 2 N·m, adapter: -30 mm, wrench: 305 mm')),
  },
  {
    code: 'never-accepted',
    bad: steps(told('unit: °, twin: less than 0 °')).replace('steps:', 'each: [left, right]\nsteps:'),
    good: steps(reading('unit: °, twin: at most 0 °')).replace('steps:', 'each: [left, right]\nsteps:'),
  },
  {
    code: 'never-accepted',
    bad: steps(`>${tightened('torque: at most 0 N·m')}`),
    good: steps(tightened('torque: at most 1 N·m')),
  },
  {
    code: 'never-accepted',
    bad: steps(told('unit: mm, decide: guarded, limits: 2 to 2 mm')),
    good: steps(reading('unit: mm, decide: guarded, limits: 2 to 2.1 mm')),
  },
  {
    code: 'never-reached',
    bad: steps(
      'readings:\n  - { reading: bolts, count: true }',
      `>only-if: { reading: bolts, is: less than 0 }\n${measured('mm')}`,
      '>only-if: { reading: gap, is: more than 1 mm }',
    ),
    good: steps(
      'readings:\n  - { reading: bolts, count: true }',
      `only-if: { reading: bolts, is: less than 4 }\n${measured('mm')}`,
      'only-if: { reading: gap, is: more than 1 mm }',
    ),
  },
  {
    code: 'pot-life-short',
    bad: glued(`>${mix}`, 'for: [one, two]\ntakes: 18 min\nin-pot-life-of: a'),
    good: glued(mix, 'for: [one, two]\ntakes: 17 min\nin-pot-life-of: a'),
  },
  {
    code: 'covered-early',
    bad: steps('reaches: [bay]', '>covers: [bay]', 'hold: { by: inspector }'),
    good: steps('reaches: [bay]', 'hold: { by: inspector }', 'covers: [bay]'),
  },
];
