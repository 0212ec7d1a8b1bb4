import type { Calculation } from './calculation.ts';
import { diameterInput, multiples } from './diameters.ts';

export const rivetPitch: Calculation = {
  name: 'rivet-pitch',
  title: 'Distance between rivets, and between rows',
  inputs: [diameterInput],
  source:
    'never under 3 D, seldom under 4 D or over 8 D: Navy training manual 14018; rows 2.5 D: TM 10-5410-229-13&P page 5-4',
  range: 'solid rivets in sheet metal',
  caution: 'The kit’s drawing wins.',
  example: { diameter: '1/8 in' },
  compute: (given) =>
    multiples(given.quantity('diameter'), { least: 30, 'usual-from': 40, 'usual-to': 80, 'least-between-rows': 25 }),
};
