import { describe, expect, test } from 'vitest';
import { calculate } from '../../src/trade/calculations.ts';
import type { Inputs } from '../../src/trade/inputs.ts';
import { fault } from './asked.ts';

describe('out of range is refused', () => {
  test.each<[string, Inputs]>([
    ['torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '-10 in' }],
    ['torque-with-adapter', { torque: '300 in·lb', wrench: '0 in', adapter: '1 in' }],
    ['torque-with-adapter', { torque: '0 in·lb', wrench: '10 in', adapter: '1 in' }],
    ['torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '4 in', angle: '181' }],
    ['torque-at-fastener', { torque: '10 in·lb', wrench: '10 in', adapter: '4 in', drag: '10 in·lb' }],
    ['bolt-torque', { thread: 'M8', nut: 'tension' }],
    ['pipe-thread', { size: '2', turns: '2' }],
    ['pipe-thread', { size: '1/4', turns: '-1' }],
    ['pipe-thread', { size: '1/4', turns: '20' }],
    ['dew-point', { temperature: '20 °C', humidity: '0 %' }],
    ['dew-point', { temperature: '20 °C', humidity: '100.1 %' }],
    ['dew-point', { temperature: '60.1 °C', humidity: '50 %' }],
    // TM 1-1520-240-BD ¶g(8): the curve gives 3.17 h at 170 °F where the table has 2 h, so it is not used beyond its points.
    ['cure-time', { at: '170 °F', point1: '24 h at 70 °F', point2: '8 h at 120 °F' }],
    ['cure-time', { at: '60 °F', point1: '24 h at 70 °F', point2: '8 h at 120 °F' }],
    ['cure-time', { at: '80 °F', point1: '8 h at 70 °F', point2: '24 h at 120 °F' }],
    ['cure-time', { at: '70 °F', point1: '8 h at 70 °F', point2: '24 h at 70 °F' }],
    [
      'equivalent-time',
      { history: '10 h at 60 °F', reference: '70 °F', point1: '24 h at 70 °F', point2: '8 h at 120 °F' },
    ],
    ['travel', { radius: '10 in', chord: '15 in' }],
    ['travel', { radius: '10 in', height: '10 in' }],
    ['travel', { radius: '10 in', angle: '90' }],
    ['travel', { radius: '0 in', angle: '9' }],
    ['bend-allowance', { radius: '1 mm', thickness: '1 mm', angle: '180' }],
    ['bend-allowance', { radius: '1 mm', thickness: '1 mm', angle: '0' }],
    ['flat-length', { leg: '1 mm; 1 mm', radius: '10 mm', thickness: '1 mm', angle: '90' }],
    ['scarf-length', { thickness: '22 mm', ratio: '1:12' }],
    ['mix', { base: '0 g', ratio: '100:44' }],
    ['weight-and-balance', { items: '10 kg at 1 m; -10 kg at 2 m' }],
    ['prevailing-torque', { thread: '3/8-24' }],
    ['chart', { at: '31 °C', chart: '0 °C, 140 N, 30 °C, 205 N' }],
    ['chart', { at: '-0.0001 °C', chart: '0 °C, 140 N, 30 °C, 205 N' }],
    ['pressure-loss', { start: '3.5 psi', end: '3.2 psi', 'start-temperature': '-300 °C', 'end-temperature': '20 °C' }],
    ['leak-rate', { area: '1 m²', drop: '-1 mm', time: '1 h' }],
  ])('%s %j', (name, inputs) => {
    expect(fault(name, inputs)).toBe('refused out-of-range');
  });
});

test('a ruler’s own marks are accepted: halves down to 1/64, decimals, and thirds of any unit but an inch', () => {
  for (const ruler of ['1/2 in', '2-5/8"', '1½ in', '63/64 in', '3 in', '0.3333 in', '1/3 ft', '100 mm'])
    expect(fault('travel', { radius: '12 in', ruler }), ruler).toBe('taken');
  expect(fault('travel', { radius: '12 in', chord: '1/3 in' })).toBe('taken');
  const thirds = calculate('travel', { radius: '12 in', ruler: '1/3 in' });
  expect(thirds.ok ? '' : thirds.fault.todo).toContain('(the nearest mark is 21/64 in)');
  const more = calculate('travel', { radius: '12 in', ruler: '2⅔ in' });
  expect(more.ok ? '' : more.fault.todo).toContain('(the nearest mark is 2 43/64 in)');
});

describe('a wrong call is a usage fault', () => {
  test.each<[string, Inputs, string]>([
    ['travel', { radius: '10 in' }, 'input-wrong angle'],
    ['travel', { radius: '10 in', angle: '5', height: '1 in' }, 'input-wrong angle'],
    ['travel', { radius: '10 in', chord: '1 in', height: '1 in' }, 'input-wrong angle'],
    ['travel', { radius: '10', angle: '5' }, 'unit-missing radius'],
    ['travel', { radius: '10 N', angle: '5' }, 'unit-dimension radius'],
    ['travel', { radius: '12 in', ruler: '1/3 in' }, 'input-wrong ruler'],
    ['travel', { radius: '12 in', ruler: '2⅔ in' }, 'input-wrong ruler'],
    ['travel', { radius: '12 in', ruler: '1/0 in' }, 'quantity-unreadable ruler'],
    ['prevailing-torque', { thread: 'foo' }, 'input-wrong thread'],
    ['bolt-torque', { thread: 'foo', nut: 'tension' }, 'input-wrong thread'],
    ['bolt-torque', { thread: '3/8-24', nut: 'castle' }, 'input-wrong nut'],
    ['mix', { base: '100 g', ratio: '100' }, 'input-wrong ratio'],
    ['mix', { base: '100 g', ratio: '100:-44' }, 'input-wrong ratio'],
    ['mix', { base: '100 g', ratio: '100:44', tolerance: '-2 %' }, 'input-wrong tolerance'],
    ['mix', { base: '1 m', ratio: '100:44' }, 'unit-dimension base'],
    ['mix-ratio', { base: '100 g', other: '44 mL', ratio: '100:44' }, 'input-wrong other'],
    ['cure-time', { at: '20 °C', point1: '24 h', point2: '8 h at 40 °C' }, 'input-wrong point1'],
    ['cure-time', { at: '20 °C', point1: '24 h at 20 mm', point2: '8 h at 40 °C' }, 'unit-dimension point1'],
    ['equivalent-time', { history: '1 h at 20 °C', reference: '20 °C' }, 'input-wrong point1'],
    ['sum', { value1: '1 mm', value2: '1 N' }, 'unit-dimension value2'],
    ['sum', { value1: '20 °C', value2: '20 °C' }, 'input-wrong value'],
    ['difference', { first: '1 mm', second: '1 N' }, 'unit-dimension second'],
    ['chart', { at: '1 mm', chart: '0 °C, 140 N, 30 °C, 205 N' }, 'input-wrong chart'],
    ['chart', { at: '1 °C', chart: '0 °C, 140 N, 30 °C' }, 'input-wrong chart'],
    ['chart', { at: '1 °C', chart: '0 °C, 140 N, 0 °C, 205 N' }, 'input-wrong chart'],
    ['chart', { at: '1 °C', chart: '0 °C, 140 N, 10 mm, 205 N' }, 'input-wrong chart'],
    ['chart', { at: '1 °C', chart: '0 °C, 140 N, 10 °C, 205 mm' }, 'input-wrong chart'],
    ['equivalent-time', { history: '1 h at 20 °C', reference: '20 °C', point1: '24 h at 20 °C' }, 'input-wrong point1'],
    ['equivalent-time', { history: '1 h at 20 °C', reference: '20 °C', point2: '24 h at 20 °C' }, 'input-wrong point1'],
    [
      'equivalent-time',
      { history: '1 h at 20 °C', reference: '20 °C', point1: 'soon', point2: '8 h at 40 °C' },
      'input-wrong point1',
    ],
    [
      'equivalent-time',
      { history: '1 h at 20 °C', reference: '20 °C', point1: '24 h at 20 °C', point2: 'soon' },
      'input-wrong point2',
    ],
    [
      'equivalent-time',
      { history: '1 h at 20 °C', reference: '20 °C', point1: '24 h at 20 °C', activation: '5000 K' },
      'input-wrong activation',
    ],
    [
      'equivalent-time',
      { history: '1 h at 20 °C', reference: '20 °C', activation: '5000 °C' },
      'input-wrong activation',
    ],
    ['equivalent-time', { history: '1 h at 20 °C', reference: '20 °C', activation: '0 K' }, 'input-wrong activation'],
    ['weight-and-balance', { items: '10 kg at x' }, 'quantity-unreadable items'],
    ['weight-and-balance', { items: 'x at 1 m' }, 'quantity-unreadable items'],
    ['weight-and-balance', { items: '10 N at 1 m' }, 'unit-dimension items'],
    ['weight-and-balance', { weight1: '1 kg', weight2: '2 kg', arm1: '1 m' }, 'input-wrong arm1'],
    ['weight-and-balance', { items: '10 kg at 1 m', lemac: '1 m' }, 'input-wrong mac'],
    ['weight-and-balance', {}, 'input-wrong items'],
    ['weight-and-balance', { items: '10 kg' }, 'input-wrong items'],
    ['convert', { value: '1 mm', to: 'gal' }, 'quantity-ambiguous to'],
    ['convert', { value: '1 mm', to: 'N' }, 'unit-dimension value'],
    ['fuel-flow', { volume: '1 gal', time: '1 min' }, 'quantity-ambiguous volume'],
    ['conformance-probability', { value: '1 mm', limits: '1 to 2 N', uncertainty: '1 mm' }, 'unit-dimension limits'],
    ['conformance-probability', { value: '1 mm', limits: '1 to 2 mm', uncertainty: '1' }, 'unit-missing uncertainty'],
  ])('%s %j: %s', (name, inputs, code) => {
    expect(fault(name, inputs)).toBe(`usage ${code}`);
  });
});
