import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { quantity } from '../../src/quantity/quantity.ts';
import { calculate, calculations } from '../../src/trade/calculations.ts';
import { inputFault, type Inputs } from '../../src/trade/inputs.ts';
import { done, fault, main, shown } from './asked.ts';

describe('every calculation', () => {
  test.each(Object.keys(calculations))('%s: is fully described, and its own example works', (name) => {
    const calculation = calculations[name];
    if (calculation === undefined) throw new Error(name);
    for (const text of [calculation.title, calculation.source, calculation.range, calculation.caution])
      expect(text.length).toBeGreaterThan(10);
    expect(calculation.name).toBe(name);
    expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/);
    const result = done(name, calculation.example);
    expect(result.results.length).toBeGreaterThan(0);
    expect(result.working).not.toMatch(/NaN|Infinity|undefined|\n/);
    for (const { quantity: q } of result.results) expect(Number.isFinite(q.amount.valueOf())).toBe(true);
  });

  test.each(Object.keys(calculations))('%s: refuses an unknown input, and names a missing one', (name) => {
    const example = calculations[name]?.example ?? {};
    expect(fault(name, { ...example, nonsense: '1 mm' })).toBe('usage input-unknown nonsense');
    for (const spec of calculations[name]?.inputs.filter((one) => one.required) ?? []) {
      const rest = Object.fromEntries(Object.entries(example).filter(([key]) => !key.startsWith(spec.name)));
      if (Object.keys(rest).length === Object.keys(example).length - 1)
        expect(fault(name, rest)).toBe(`usage input-missing ${spec.name}`);
    }
  });

  test('law: whatever is typed gives a result or a fault, never a throw or NaN', () => {
    const value = fc.oneof(
      fc.constantFrom(
        '1 mm',
        '0 mm',
        '-1 mm',
        '1/2 in',
        '90 °',
        '179.999 °',
        '0 °',
        '1 N',
        '300 in·lb',
        '20 °C',
        '-500 °C',
        '1 K',
        '-1 K',
        '50 %',
        '0 %',
        '1000 %',
        '1 g',
        '0 g',
        '-5 g',
        '1 h',
        '0 s',
        '1 psi',
        '1 L/h',
        '1 m²',
        '1 L',
        '6 lb/US gal',
        '3 turns',
        '-3 turns',
        '3',
        '12:1',
        '0:1',
        '1:0',
        '100:44:3',
        'x',
        '',
        '24 h at 20 °C',
        '8 h at 40 °C',
        '1 ms at 1 K',
        '99999 d at 9999 °C',
        '3/8-24',
        'tension',
        'gravity',
        'countersunk',
        '1/4',
        '0 °C, 1 N, 1 °C, 2 N',
        'at most 3 mm',
        'a to b',
        '5 to 4 mm',
        '99999999999999 mm',
        '0.00000000000001 mm',
        'mm',
      ),
      fc.string({ unit: 'binary', maxLength: 20 }),
    );
    const call = fc
      .constantFrom(...Object.values(calculations))
      .chain((calculation) =>
        fc.tuple(
          fc.constant(calculation),
          fc.array(value, { minLength: calculation.inputs.length, maxLength: calculation.inputs.length }),
          fc.array(fc.boolean(), { minLength: 6, maxLength: 6 }),
        ),
      );
    fc.assert(
      fc.property(call, ([calculation, values, kept]) => {
        const odd = Object.fromEntries(calculation.inputs.map((spec, index) => [spec.name, values[index] ?? '']));
        const inputs = {
          ...calculation.example,
          ...Object.fromEntries(Object.entries(odd).filter((_, index) => kept[index % 6] === true)),
        };
        const outcome = calculate(calculation.name, inputs);
        if (!outcome.ok)
          return outcome.fault.todo !== '' && (outcome.fault.kind === 'usage' || outcome.fault.kind === 'refused');
        return (
          outcome.value.results.every((result) => Number.isFinite(result.quantity.amount.valueOf())) &&
          !/NaN|Infinity|undefined/.test(outcome.value.working)
        );
      }),
      { numRuns: 20_000 },
    );
  });
});

describe('names and inputs', () => {
  test('a wrong name is answered with the nearest one', () => {
    const outcome = calculate('bolt-torqe', {});
    expect(outcome.ok ? '' : outcome.fault.todo).toBe('write bolt-torque, if that is meant');
    expect(fault('constructor', {})).toBe('usage calculation-unknown');
    expect(fault('toString', {})).toBe('usage calculation-unknown');
  });

  test('quantities serve as well as text', () => {
    expect(shown('scarf-length', { thickness: quantity('22 mm'), ratio: '12:1' })).toEqual(['length 264 mm']);
    expect(shown('sum', { value: [quantity('1 mm'), quantity('2 mm')] })).toEqual(['sum 3 mm']);
    expect(
      shown('chart', {
        at: quantity('14 °C'),
        chart: [quantity('10 °C'), quantity('160 N'), quantity('20 °C'), quantity('180 N')],
      }),
    ).toEqual(['value 168 N']);
    expect(fault('scarf-length', { thickness: quantity('22 N'), ratio: '12:1' })).toBe(
      'usage unit-dimension thickness',
    );
  });

  test('several values may be numbered, with or without a hyphen, or be a list', () => {
    for (const inputs of [
      { value1: '3 mm', value2: '5 mm' },
      { 'value-1': '3 mm', 'value-2': '5 mm' },
      { 'value1-1': '3 mm', 'value1-2': '5 mm' },
      { value: '3 mm; 5 mm' },
      { value: '3 mm, 5 mm' },
    ])
      expect(shown('mean', inputs)).toEqual(['mean 4 mm']);
    for (const key of ['valuex', 'value1x', 'value-', 'value1-', 'value12345678901234', 'other1'])
      expect(fault('mean', { [key]: '3 mm' })).toBe(`usage input-unknown ${key}`);
  });

  test('one input may be asked about by itself, while the others are not there yet', () => {
    const { 'bolt-torque': torque, mix } = calculations;
    if (torque === undefined || mix === undefined) throw new Error('no such calculation');
    expect(inputFault(torque, 'nut', 'tension')).toBeUndefined();
    expect(inputFault(torque, 'nut', 'castle')).toMatchObject({ code: 'input-wrong', where: 'nut' });
    expect(inputFault(mix, 'base', '100 g')).toBeUndefined();
    expect(inputFault(mix, 'base', '100 mm')).toMatchObject({ code: 'unit-dimension', where: 'base' });
    expect(inputFault(mix, 'bases', '100 g')).toMatchObject({ code: 'input-unknown' });
  });

  test('a quantity of another kind is refused, naming both kinds, unless its unit has the same name in the kind that is asked for', () => {
    const refused = calculate('scarf-length', { thickness: quantity('22 N'), ratio: '12:1' });
    expect(refused.ok ? [] : [refused.fault.what, refused.fault.todo]).toEqual([
      'thickness is a force, but a length is asked for',
      'give thickness in a unit of length',
    ]);
    // A moment of 12 lb·in is written as a torque is.
    const drag = quantity('12 lb·in', 'mass-moment');
    expect(drag.unit.dimension).toBe('mass-moment');
    const pulled = done('bolt-torque', { thread: '3/8-24', nut: 'tension', drag }).results[0]?.quantity;
    expect([pulled?.amount.valueOf(), pulled?.unit.name, pulled?.unit.dimension]).toEqual([172, 'in·lb', 'torque']);
  });

  test('each result has the unit of the first input of its dimension', () => {
    expect(shown('rivet-length', { grip: '2 mm', diameter: '1/8 in' })[0]).toBe('length 6.7625 mm');
    expect(shown('rivet-length', { diameter: '1/8 in', grip: '2 mm' })[0]).toMatch(/^length 0\.26624.* in$/);
    expect(shown('bolt-torque', { thread: '3/8-24', nut: 'tension' })).toEqual([
      'low 160 in·lb',
      'high 190 in·lb',
      'table-greatest 390 in·lb',
    ]);
    expect(shown('bolt-torque', { thread: '3/8-24', nut: 'tension', drag: '0 N·m' })[0]).toBe('low 18.0776 N·m');
    expect(shown('dew-point', { temperature: '70 °F', humidity: '65', surface: '62 °F' })).toEqual([
      'dew-point 57.6961 °F',
      'margin 4.3039 °F',
    ]);
    expect(shown('pipe-thread', { size: '1/4', turns: '2' }).slice(0, 2)).toEqual(['engaged 6.1004', 'showing 4.6016']);
    expect(shown('cure-time', { at: '40 °C', point1: '1440 min at 70 °F', point2: '8 h at 120 °F' })[0]).toMatch(
      / min$/,
    );
  });

  test('is exact where only rational arithmetic was needed, and only there', () => {
    const exact = (name: string, inputs: Inputs): boolean => done(name, inputs).results.every((result) => result.exact);
    expect(exact('mix', { base: '100 g', ratio: '100:44', tolerance: '2 %' })).toBe(true);
    expect(exact('torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '4 in' })).toBe(true);
    expect(exact('torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '4 in', angle: '90' })).toBe(
      true,
    );
    expect(exact('torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '4 in', angle: '45' })).toBe(
      false,
    );
    expect(exact('travel', { radius: '300 mm', angle: '25' })).toBe(false);
  });
});

describe('the demo build’s own numbers, invented but calculated by hand', () => {
  test('cable tension at 14 °C, scarf, ratio, leak, three scales, fuel', () => {
    expect(shown('chart', { at: '14 °C', chart: '0 °C, 140 N, 10 °C, 160 N, 20 °C, 180 N, 30 °C, 205 N' })).toEqual([
      'value 168 N',
    ]);
    expect(shown('scarf-length', { thickness: '22 mm', ratio: '12:1' })).toEqual(['length 264 mm']);
    expect(main('mix-ratio', { base: '104.2 g', other: '45.1 g', ratio: '100:44' })).toBeCloseTo(-1.6, 1);
    expect(
      done('mix-ratio', { base: '104.2 g', other: '47.9 g', ratio: '100:44', tolerance: '2 %' }).warnings,
    ).toHaveLength(1);
    expect(shown('leak-rate', { area: '0.62 m²', drop: '3 mm', time: '1 h' })).toEqual(['leak 1.86 L/h']);
    const scales = {
      weight1: '96.4 kg',
      arm1: '2.310 m',
      weight2: '95.8 kg',
      arm2: '2.310 m',
      weight3: '22.6 kg',
      arm3: '6.020 m',
      lemac: '2.180 m',
      mac: '1.420 m',
    };
    const [centre, weight, , share] = done('weight-and-balance', scales).results.map((result) =>
      result.quantity.amount.valueOf(),
    );
    expect([centre?.toFixed(3), weight, share?.toFixed(1)]).toEqual(['2.700', 214.8, '36.6']);
    expect(main('fuel-flow-time', { consumption: '21 L/h', feed: 'pump', volume: '1 L' })).toBeCloseTo(137.14, 2);
  });

  test('the band of a mix includes its ends, 43.12 and 44.88 g', () => {
    expect(shown('mix', { base: '100 g', ratio: '100:44', tolerance: '2 %' })).toEqual([
      'target 44 g',
      'low 43.12 g',
      'high 44.88 g',
      'total 144 g',
    ]);
  });
});

test('travel gives the three measures that were not given', () => {
  const results = (inputs: Inputs): readonly string[] => done('travel', inputs).results.map(({ name }) => name);
  const radius = '300 mm';
  expect(results({ radius, angle: '25 °' })).toEqual(['chord', 'height', 'ruler']);
  expect(results({ radius, chord: '100 mm' })).toEqual(['angle', 'height', 'ruler']);
  expect(results({ radius, height: '100 mm' })).toEqual(['angle', 'chord', 'ruler']);
  expect(results({ radius, ruler: '100 mm' })).toEqual(['angle', 'chord', 'height']);
  const none = calculate('travel', { radius });
  expect(none.ok ? '' : none.fault.what).toBe('none of angle, chord, height, ruler is given');
  const both = calculate('travel', { radius, chord: '1 mm', ruler: '1 mm' });
  expect(both.ok ? '' : both.fault.what).toBe('chord and ruler are given together');
});

test('degree-hours above a datum in °F are °F·h: 10 h at 60 °F above 40 °F are 200 (Nurse-Saul, by arithmetic)', () => {
  expect(shown('maturity', { history: '10 h at 60 °F', datum: '40 °F' })).toEqual(['maturity 200 °F·h']);
  expect(shown('maturity', { history: '10 h at 60 °C', datum: '40 °C' })).toEqual(['maturity 200 °C·h']);
});

test('a flow without a consumption is in the unit of the volume, by the hour', () => {
  expect(shown('fuel-flow', { volume: '1 L', time: '6 min' })).toEqual(['flow 10 L/h']);
  expect(shown('fuel-flow', { volume: '1 US gal', time: '6 min' })).toEqual(['flow 10 US gal/h']);
  expect(shown('fuel-flow', { volume: '1 US gal', time: '6 min', consumption: '10 L/h' })[0]).toBe(
    'flow 37.85411784 L/h',
  );
});

test('a tolerance of nothing leaves the target alone', () => {
  expect(shown('mix', { base: '100 g', ratio: '100:44', tolerance: '0 %' })).toEqual([
    'target 44 g',
    'low 44 g',
    'high 44 g',
    'total 144 g',
  ]);
});

test('at a limit itself half of the values lie beyond it, with one limit as with two', () => {
  const at = (limits: string): number =>
    main('conformance-probability', { value: '25 mm', limits, uncertainty: '0.04 mm' });
  expect(at('at most 25 mm')).toBeCloseTo(50, 6);
  expect(at('at least 25 mm')).toBeCloseTo(50, 6);
  expect(at('25 to 26 mm')).toBeCloseTo(50, 6);
  expect(at('at most 26 mm')).toBeCloseTo(100, 6);
});

test('a difference has no sign in its main result, so that limits judge its size', () => {
  expect(shown('difference', { first: '21.2 °', second: '23.3 °' })).toEqual([
    'difference 2.1 °',
    'first-less-second -2.1 °',
  ]);
  expect(shown('difference', { first: '20 °C', second: '50 °F' })[0]).toBe('difference 10 °C');
  expect(done('difference', { first: '20 °C', second: '50 °F' }).results[0]?.quantity.unit.dimension).toBe(
    'temperature-difference',
  );
});

test('the standard’s tolerance of a turn on each part is stated', () => {
  expect(done('pipe-thread', { size: '1/4', turns: '2' }).warnings[0]).toContain(
    'one turn large or small on each part',
  );
  expect(done('pipe-thread', { size: '1/8', turns: '3' }).warnings).toHaveLength(2);
});

test('weight and balance reports what is outside the limits given, and asks for quantities in them', () => {
  // AC 43.13-1B, figure 10-11: 21.33 in, limit 21.9 in; 2036 lb, at most 2100 lb.
  const items = '1169 lb at 10.6 in; 17 lb at -49 in; 170 lb at 16 in; 340 lb at 48 in; 240 lb at 22 in';
  const whole = { items: `${items}; 100 lb at 75.5 in`, limits: 'at most 21.9 in', 'max-weight': '2100 lb' };
  expect(done('weight-and-balance', whole).warnings).toEqual([]);
  expect(done('weight-and-balance', { ...whole, limits: 'less than 540 mm', 'max-weight': '900 kg' }).warnings).toEqual(
    ['the centre 21.3303 in lies outside less than 540 mm', 'the weight 2036 lb is above 900 kg'],
  );
  for (const limits of ['wide', '3 to 4 N', 'at most scarf', '4 to 3 in'])
    expect(calculate('weight-and-balance', { ...whole, limits })).toMatchObject({
      ok: false,
      fault: { kind: 'usage', where: 'limits' },
    });
});
