import { expect, test } from 'vitest';
import { calculate, calculations } from '../../src/trade/calculations.ts';
import type { Inputs } from '../../src/trade/inputs.ts';

/*
 * The working of each calculation, as a person reads it at the bench and in a record: of its example, and of what the example leaves out.
 */

const further: readonly (readonly [string, Inputs])[] = [
  ['bolt-torque', { thread: '3/8-24', nut: 'shear' }],
  ['torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '4 in', drag: '12 in·lb' }],
  ['torque-with-adapter', { torque: '300 in·lb', wrench: '10 in', adapter: '4 in', angle: '180 °' }],
  ['torque-at-fastener', { torque: '230 in·lb', wrench: '10 in', adapter: '4 in', drag: '12 in·lb' }],
  ['travel', { radius: '300 mm', chord: '129.8 mm' }],
  ['travel', { radius: '300 mm', height: '126.8 mm' }],
  ['travel', { radius: '300 mm', ruler: '139.9 mm' }],
  ['dew-point', { temperature: '20 °C', humidity: '65 %', surface: '18 °C' }],
  [
    'equivalent-time',
    { history: '4 h at 90 °F; 10 h at 70 °F', reference: '70 °F', point1: '24 h at 70 °F', point2: '8 h at 120 °F' },
  ],
  ['maturity', { history: '10 h at 60 °F', datum: '40 °F' }],
  ['fuel-flow', { volume: '1 L', time: '131 s' }],
  ['pipe-thread', { size: '1/4', turns: '2', 'finger-tight': '4' }],
];

const lineOf = (name: string, inputs: Inputs): string => {
  const outcome = calculate(name, inputs);
  const given = Object.entries(inputs).map(
    ([key, value]) => `${key}=${typeof value === 'string' ? value : JSON.stringify(value)}`,
  );
  return `${name} ${given.join(' ')}\n    ${outcome.ok ? outcome.value.working : outcome.fault.what}\n`;
};

test('each working is as it was kept', async () => {
  const examples = Object.entries(calculations).map(([name, { example }]) => [name, example] as const);
  const lines = [...examples, ...further].map(([name, inputs]) => lineOf(name, inputs));
  await expect(lines.join('')).toMatchFileSnapshot('kept/workings.txt');
});
