import type { Calculation } from './calculation.ts';
import { diameterInput, multiples } from './diameters.ts';

export const edgeDistance: Calculation = {
  name: 'edge-distance',
  title: 'Least distance from the hole’s centre to the edge',
  inputs: [
    diameterInput,
    {
      name: 'head',
      dimension: 'text',
      required: false,
      about: 'protruding or countersunk',
      choices: ['protruding', 'countersunk'],
    },
  ],
  source:
    '2 D: TM 10-5410-229-13&P page 5-4; countersunk 2.5 D: a public study text, the regulation’s own page not seen',
  range: 'solid rivets in sheet metal',
  caution:
    'Measured from the centre of the hole. The kit’s drawing wins. After drilling out and going up a size, decide it anew with the larger diameter.',
  example: { diameter: '1/8 in', head: 'protruding' },
  compute: (given) =>
    multiples(given.quantity('diameter'), { edge: given.maybeText('head') === 'countersunk' ? 25 : 20 }),
};
