import { describe, expect, test } from 'vitest';
import type { InputSpec } from '../../src/trade/calculation.ts';
import { calculate, calculations, type CalculationResult } from '../../src/trade/calculations.ts';
import type { Inputs } from '../../src/trade/inputs.ts';

const done = (name: string, inputs: Inputs): CalculationResult => {
  const outcome = calculate(name, inputs);
  if (!outcome.ok) throw new Error(outcome.fault.what);
  return outcome.value;
};

const codeOf = (name: string, inputs: Inputs): string => {
  const outcome = calculate(name, inputs);
  return outcome.ok ? 'taken' : `${outcome.fault.kind} ${outcome.fault.code}`;
};

/**
 * The names by which procedures and journals call a calculation, give its inputs (`?` may be missing, `…` several) and take its results,
 * with their dimensions. They are a format: none of them changes once it is released.
 */
const names: Readonly<Record<string, readonly [inputs: string, results: string]>> = {
  'rivet-length': ['grip length; diameter length', 'length length; next-sixteenth length'],
  'rivet-diameter': ['thickness length', 'size length; three-times length'],
  'shop-head': ['diameter length', 'width length; height length; least-width length; least-height length'],
  'edge-distance': ['diameter length; head? text (protruding countersunk)', 'edge length'],
  'rivet-pitch': ['diameter length', 'least length; usual-from length; usual-to length; least-between-rows length'],
  'bolt-torque': [
    'thread text; nut text (tension shear); drag? torque',
    'low torque; high torque; table-greatest torque',
  ],
  'prevailing-torque': ['thread text', 'least torque'],
  'torque-with-adapter': [
    'torque torque; wrench length; adapter length; angle? angle in °; drag? torque',
    'setting torque',
  ],
  'torque-at-fastener': [
    'torque torque; wrench length; adapter length; angle? angle in °; drag? torque',
    'torque torque',
  ],
  'pipe-thread': [
    'size text; turns turns in turns; finger-tight? turns in turns',
    'engaged count; showing count; showing-effective count; turns-left turns; hand-tight count',
  ],
  mix: ['base mass|volume; ratio text; tolerance? percent', 'target mass; low mass; high mass; total mass'],
  'mix-ratio': ['base mass|volume; other mass|volume; ratio text; tolerance? percent', 'off percent; share count'],
  'cure-time': ['at temperature; point1 text; point2 text', 'time time'],
  'equivalent-time': [
    'history text list; reference temperature; point1? text; point2? text; activation? temperature',
    'time time',
  ],
  maturity: ['history text list; datum temperature; reference? temperature', 'maturity temperature-time; time time'],
  'dew-point': [
    'temperature temperature; humidity percent in %; surface? temperature',
    'dew-point temperature; margin temperature-difference',
  ],
  travel: [
    'radius length; angle? angle in ° one of travel; chord? length one of travel; height? length one of travel; ruler? length by rule one of travel',
    'chord length; height length; ruler length (angle, length)',
  ],
  chart: ['at any; chart text list', 'value force (any)'],
  'bend-allowance': ['radius length; thickness length; angle angle in °', 'allowance length'],
  setback: ['radius length; thickness length; angle angle in °', 'setback length; deduction length'],
  'flat-length': [
    'leg… length; radius length; thickness length; angle angle in °',
    'flat-length length; flat-1 length; flat-2 length; flat-3 length',
  ],
  'scarf-length': ['thickness length; ratio text', 'length length'],
  'weight-and-balance': [
    'items? text list; weight?… mass for items; arm?… length for items; lemac? length; mac? length; limits? text; max-weight? mass',
    'centre length; weight mass; moment mass-moment',
  ],
  'mac-percent': ['centre length; lemac length; mac length', 'mac-percent percent'],
  'fluid-weight': ['volume volume; density density', 'weight mass'],
  'fuel-flow-time': ['consumption flow; feed text (gravity pump); volume volume', 'time time; flow flow'],
  'fuel-flow': ['volume volume; time time; consumption? flow', 'flow flow; share percent'],
  'pressure-loss': [
    'start pressure; end pressure; start-temperature temperature; end-temperature temperature; start-barometer? pressure; end-barometer? pressure',
    'loss pressure; expected pressure',
  ],
  'leak-rate': ['area area; drop length; time time', 'leak flow'],
  'conformance-probability': ['value any; limits text; uncertainty text', 'probability percent'],
  'expanded-uncertainty': ['resolution any; standard? any; calibration? any', 'expanded length (any)'],
  sum: ['value… any', 'sum turns (any)'],
  mean: ['value… any', 'mean turns (any)'],
  spread: ['value… any', 'spread turns (any)'],
  difference: ['first any; second any', 'difference angle; first-less-second angle (any)'],
  convert: ['value text; to text', 'value torque (any)'],
};

const marks = (spec: InputSpec): string =>
  [
    `${spec.name}${spec.required ? '' : '?'}${spec.many === true ? '…' : ''} ${[spec.dimension].flat().join('|')}`,
    ...(spec.bare === undefined ? [] : [`in ${spec.bare}`]),
    ...(spec.rule === true ? ['by rule'] : []),
    ...(spec.list === true ? ['list'] : []),
    ...(spec.choices === undefined ? [] : [`(${spec.choices.join(' ')})`]),
    ...(spec.oneOf === undefined ? [] : [`one of ${spec.oneOf}`]),
    ...(spec.insteadOf === undefined ? [] : [`for ${spec.insteadOf}`]),
  ].join(' ');

describe('the names of a calculation', () => {
  test('are all listed here', () => {
    expect(Object.keys(calculations).toSorted()).toEqual(Object.keys(names).toSorted());
  });

  test.each(Object.entries(names))('%s', (name, [inputs, results]) => {
    const calculation = calculations[name];
    if (calculation === undefined) throw new Error(name);
    expect(calculation.inputs.map(marks).join('; ')).toBe(inputs);
    const given = done(name, calculation.example).results.map((each) => `${each.name} ${each.quantity.unit.dimension}`);
    const gives = calculation.gives === undefined ? '' : ` (${[calculation.gives].flat().join(', ')})`;
    expect(`${given.join('; ')}${gives}`).toBe(results);
  });
});

describe('the plot of a weight and balance', () => {
  // Invented items; the centre by hand: (100 × 10 + 300 × 20) / 400 = 17.5 in.
  const items = '100 lb at 10 in; 300 lb at 20 in';

  test('without limits: each item at its arm and weight, and the centre of all', () => {
    expect(done('weight-and-balance', { items }).plot).toEqual({
      x: { name: 'arm', unit: 'in', from: 8.5, to: 21.5 },
      y: { name: 'mass', unit: 'lb', from: 0, to: 520 },
      line: [],
      points: [
        { x: 10, y: 100 },
        { x: 20, y: 300 },
      ],
      here: { x: 17.5, y: 400 },
    });
  });

  test('with limits: the centre within them and under the greatest weight, in the units of the items', () => {
    const { plot } = done('weight-and-balance', { items, limits: '12.5 to 22.5 in', 'max-weight': '1000 lb' });
    expect(plot).toEqual({
      x: { name: 'arm', unit: 'in', from: 11, to: 24 },
      y: { name: 'mass', unit: 'lb', from: 0, to: 1300 },
      line: [],
      points: [],
      here: { x: 17.5, y: 400 },
      limits: { low: 12.5, high: 22.5, top: 1000 },
    });
  });

  test('with one limit alone, and with a greatest weight alone', () => {
    const least = done('weight-and-balance', { items, limits: 'at least 7.5 in' }).plot;
    expect([least?.limits, least?.x.from, least?.x.to]).toEqual([{ low: 7.5 }, 6, 19]);
    const most = done('weight-and-balance', { items, limits: 'at most 27.5 in' }).plot;
    expect([most?.limits, most?.x.from, most?.x.to]).toEqual([{ high: 27.5 }, 16, 29]);
    const top = done('weight-and-balance', { items, 'max-weight': '200 lb' }).plot;
    expect([top?.limits, top?.points.length, top?.y.to]).toEqual([{ top: 200 }, 2, 520]);
  });

  test('with something taken off: below nothing, and a single item has room around it', () => {
    const off = done('weight-and-balance', { items: `${items}; -50 lb at 0 in` }).plot;
    expect([off?.y.from, off?.y.to]).toEqual([-50, 455]);
    expect(done('weight-and-balance', { items: '100 lb at 100 in' }).plot?.x).toMatchObject({ from: 90, to: 110 });
    expect(done('weight-and-balance', { items: '100 lb at 2 in' }).plot?.x).toMatchObject({ from: 1, to: 3 });
  });
});

describe('the plot of a cure', () => {
  test('is the curve from the one point of the data sheet to the other, in the units that were typed', () => {
    for (const [point1, point2] of [
      ['24 h at 70 °F', '8 h at 120 °F'],
      ['8 h at 120 °F', '24 h at 70 °F'],
    ] as const) {
      const { plot, results } = done('cure-time', { at: '40 °C', point1, point2 });
      if (plot === undefined) throw new Error('no plot');
      expect([plot.x, plot.y]).toEqual([
        { name: 'temperature', unit: '°F', from: 70, to: 120 },
        { name: 'time', unit: 'h', from: 0, to: 24 },
      ]);
      expect(plot.points).toEqual([
        { x: 70, y: 24 },
        { x: 120, y: 8 },
      ]);
      expect(plot.line).toHaveLength(61);
      expect(plot.line[0]?.y).toBeCloseTo(24, 9);
      expect(plot.line.at(-1)?.y).toBeCloseTo(8, 9);
      for (const [index, { x, y }] of plot.line.entries()) {
        expect(x).toBeCloseTo(70 + (50 * index) / 60, 9);
        expect(y).toBeLessThan((plot.line[index - 1]?.y ?? 25) + 1e-9);
      }
      expect(plot.here.x).toBeCloseTo(104, 9);
      expect(plot.here.y).toBeCloseTo(results[0]?.quantity.amount.valueOf() ?? 0, 9);
      // 104 °F is the 40.8th of the 60 parts: the result is on the curve between its neighbours.
      expect(plot.here.y).toBeLessThan(plot.line[40]?.y ?? 0);
      expect(plot.here.y).toBeGreaterThan(plot.line[41]?.y ?? 0);
    }
  });
});

describe('the ends of a range belong to it', () => {
  test.each<[string, Inputs, Inputs]>([
    ['cure-time', { at: '70 °F' }, { at: '69.9 °F' }],
    ['cure-time', { at: '120 °F' }, { at: '120.1 °F' }],
    ['dew-point', { temperature: '60 °C', humidity: '50 %', surface: '20 °C' }, { temperature: '60.01 °C' }],
    ['dew-point', { humidity: '100 %' }, { humidity: '100.01 %' }],
    ['pipe-thread', { turns: '0' }, { turns: '-0.1' }],
    ['pipe-thread', { 'finger-tight': '0' }, { 'finger-tight': '-0.1' }],
    ['pipe-thread', { 'finger-tight': '4', turns: '6.702' }, { 'finger-tight': '4', turns: '6.7021' }],
    ['torque-with-adapter', { angle: '180' }, { angle: '180.1' }],
    ['torque-with-adapter', { angle: '0' }, { angle: '-0.1' }],
    ['torque-with-adapter', { drag: '0 in·lb' }, { drag: '-1 in·lb' }],
    ['leak-rate', { drop: '0 mm' }, { drop: '-0.1 mm' }],
    ['pressure-loss', { end: '-101.3 kPa' }, { end: '-101.325 kPa' }],
    ['pressure-loss', { 'end-temperature': '-273.1 °C' }, { 'end-temperature': '-273.15 °C' }],
    ['pressure-loss', { 'start-temperature': '-273.1 °C' }, { 'start-temperature': '-273.15 °C' }],
    ['pressure-loss', { 'start-barometer': '0.1 kPa' }, { 'start-barometer': '0 kPa' }],
    ['pressure-loss', { 'end-barometer': '0.1 kPa' }, { 'end-barometer': '0 kPa' }],
    // A gauge that shows the vacuum of its end, where the other end has air: only the barometer of its own end is at fault.
    [
      'pressure-loss',
      { 'start-barometer': '101 kPa', 'end-barometer': '1 kPa' },
      { 'start-barometer': '101 kPa', 'end-barometer': '0 kPa' },
    ],
    // The setback at 90° is R + T = 11 mm (AC 43.13-1B, 4-12): a leg of that length has no flat left, and still fits.
    [
      'flat-length',
      { leg: '11 mm; 11 mm', radius: '10 mm', thickness: '1 mm', angle: '90' },
      { leg: '10.9 mm; 11 mm', radius: '10 mm', thickness: '1 mm', angle: '90' },
    ],
    ['weight-and-balance', { items: '10 kg at 1 m; -9.9 kg at 2 m' }, { items: '10 kg at 1 m; -10 kg at 2 m' }],
  ])('%s: %j is taken, %j is refused', (name, inside, outside) => {
    const example = calculations[name]?.example ?? {};
    expect(codeOf(name, { ...example, ...inside })).toBe('taken');
    expect(codeOf(name, { ...example, ...outside })).toBe('refused out-of-range');
  });
});

describe('the size of a pipe thread, as people write it (ASME B1.20.1 for the sizes)', () => {
  test.each([
    [
      '1/4',
      ['1/4 in', '1/4"', '1/4 NPT', '1/4-18 NPT', '1/4 - 18 NPTF', '1/4 inch NPT', '0.25', '.25', '0.25 in', ' 1/4 '],
    ],
    ['1/8', ['0.125', '.125', '1/8-27 NPT']],
    ['3/8', ['0.375', '.375']],
    ['1/2', ['0.5', '.50', '0.50']],
    ['3/4', ['.75', '3/4 npt']],
    ['1', ['1 in', '1-11.5 NPT']],
  ])('%s', (size, spellings) => {
    const engaged = (text: string): string => done('pipe-thread', { size: text, turns: '1' }).working;
    for (const text of spellings) expect([text, engaged(text)]).toEqual([text, engaged(size)]);
  });

  test.each([
    ['2', 'refused out-of-range'],
    ['1-1/4', 'refused out-of-range'],
    ['11/4', 'refused out-of-range'],
    ['x1/4', 'usage input-wrong'],
    ['constructor', 'usage input-wrong'],
    ['1.25', 'usage input-wrong'],
    ['0.1255', 'usage input-wrong'],
  ])('%s is none of them', (size, code) => {
    expect(codeOf('pipe-thread', { size, turns: '1' })).toBe(code);
  });
});

describe('warnings', () => {
  const warnings = (name: string, inputs: Inputs): readonly string[] =>
    done(name, { ...calculations[name]?.example, ...inputs }).warnings;

  test('of a pressure test: which barometer was taken, and a gauge that shows more than it can', () => {
    const read = { 'start-barometer': '101 kPa', 'end-barometer': '101 kPa' };
    expect(warnings('pressure-loss', {})).toEqual([expect.stringContaining('No barometer given')]);
    expect(warnings('pressure-loss', { 'start-barometer': '101 kPa' })).toEqual([
      expect.stringContaining('One barometer'),
    ]);
    expect(warnings('pressure-loss', { 'end-barometer': '101 kPa' })).toEqual([
      expect.stringContaining('One barometer'),
    ]);
    expect(warnings('pressure-loss', read)).toEqual([]);
    expect(warnings('pressure-loss', { ...read, end: '3.5 psi' })).toEqual([
      expect.stringContaining('The gauge shows more'),
    ]);
    // One reading at one end is taken at both: the result is that of the same reading twice.
    const loss = (inputs: Inputs) =>
      done('pressure-loss', { ...calculations['pressure-loss']?.example, ...inputs }).results[0]?.quantity.text;
    expect(loss({ 'start-barometer': '90 kPa' })).toBe(
      loss({ 'start-barometer': '90 kPa', 'end-barometer': '90 kPa' }),
    );
    expect(loss({ 'end-barometer': '90 kPa' })).toBe(loss({ 'start-barometer': '90 kPa', 'end-barometer': '90 kPa' }));
    expect(loss({})).toBe(loss({ 'start-barometer': '101.325 kPa', 'end-barometer': '101.325 kPa' }));
  });

  test('of a surface that is colder than the dew point, and of no other', () => {
    const air = { temperature: '20 °C', humidity: '80 %' };
    const dew = done('dew-point', air).results[0]?.quantity;
    expect(dew?.amount.valueOf()).toBeCloseTo(16.4, 1);
    expect(warnings('dew-point', { ...air, surface: '16 °C' })).toEqual([
      expect.stringContaining('below the dew point'),
    ]);
    expect(warnings('dew-point', { ...air, surface: '17 °C' })).toEqual([]);
    expect(done('dew-point', air).warnings).toEqual([]);
  });

  test('of a pipe thread: the tolerance always, the end of the effective thread, more than three turns', () => {
    // 1/4 NPT: 4.1004 threads by hand; 7.232 effective (0.8 × 0.540 + 6.8): used up after 3.1316 turns.
    expect(warnings('pipe-thread', { turns: '3' })).toHaveLength(1);
    expect(warnings('pipe-thread', { turns: '3.1' })).toEqual([
      expect.anything(),
      expect.stringContaining('3 turns by wrench'),
    ]);
    expect(warnings('pipe-thread', { turns: '3.1316' })).toHaveLength(2);
    expect(warnings('pipe-thread', { turns: '3.1317' })).toHaveLength(3);
    expect(warnings('pipe-thread', { 'finger-tight': '6', turns: '1.3' })[1]).toContain(
      'The effective thread is used up',
    );
  });
});
