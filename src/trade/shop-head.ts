import type { Calculation } from './calculation.ts';
import { diameterInput, multiples } from './diameters.ts';

export const shopHead: Calculation = {
  name: 'shop-head',
  title: 'Shop head of a solid rivet: width and height',
  inputs: [diameterInput],
  source:
    'width 1.5 D, height 0.5 D: public USAAF structural repair text, section 14; least width 1.3 D, least height 0.4 D: the pattern of MIL-R-47196A rows for 3/32 and 1/8, quoted second-hand',
  range: 'solid rivets with a driven flat shop head',
  caution:
    'These are two rules, the ideal head and the military least; say which one a check applies. The greatest height is not given here.',
  example: { diameter: '1/8 in' },
  compute: (given) =>
    multiples(given.quantity('diameter'), { width: 15, height: 5, 'least-width': 13, 'least-height': 4 }),
};
