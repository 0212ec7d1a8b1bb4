import { rows, type Expect, type PublishedRow } from './row.ts';

export const rivets: readonly PublishedRow[] = [
  ...rows('FAA-H-8083-31 ch. 4, length = grip + 1.5 D; row computed', 'B', 'rivet-length')(
    [
      { grip: '0.064 in', diameter: '1/8 in' },
      { length: [0.2515, 1e-12], 'next-sixteenth': [5 / 16, 1e-12] },
    ],
    [
      { grip: '0.125 in', diameter: '1/8 in' },
      { length: [0.3125, 1e-12], 'next-sixteenth': [5 / 16, 1e-12] },
    ],
    [
      { grip: '0.072 in', diameter: '3/32 in' },
      { length: [0.212625, 1e-12], 'next-sixteenth': [4 / 16, 1e-12] },
    ],
    [
      { grip: '0.080 in', diameter: '5/32 in' },
      { length: [0.314375, 1e-12], 'next-sixteenth': [6 / 16, 1e-12] },
    ],
  ),
  ...rows('USAAF structural repair text §14, formed head', 'A', 'shop-head')(
    [{ diameter: '1/8 in' }, { height: [0.063, 0.001], width: [0.188, 0.001] }],
    [{ diameter: '5/32 in' }, { height: [0.078, 0.001], width: [0.234, 0.001] }],
    [{ diameter: '3/16 in' }, { height: [0.093, 0.001], width: [0.281, 0.001] }],
  ),
  ...rows(
    'MIL-R-47196A least head, quoted second-hand',
    'B',
    'shop-head',
  )(
    [{ diameter: '3/32 in' }, { 'least-width': [0.122, 0.0005], 'least-height': [0.038, 0.0006] }],
    [{ diameter: '1/8 in' }, { 'least-width': [0.163, 0.0006], 'least-height': [0.05, 0.0005] }],
  ),
  ...rows('TM 10-5410-229-13&P p. 5-4: edge 2 D; row computed', 'B', 'edge-distance')(
    [{ diameter: '3/32 in' }, { edge: [0.1875, 1e-12] }],
    [{ diameter: '5/32 in' }, { edge: [0.3125, 1e-12] }],
    [{ diameter: '3/16 in', head: 'countersunk' }, { edge: [0.46875, 1e-12] }],
  ),
  ...rows(
    'Navy training manual 14018: pitch 3 D, usual 4 to 8 D; row computed',
    'B',
    'rivet-pitch',
  )(
    [
      { diameter: '1/8 in' },
      {
        least: [0.375, 1e-12],
        'usual-from': [0.5, 1e-12],
        'usual-to': [1, 1e-12],
        'least-between-rows': [0.3125, 1e-12],
      },
    ],
    [
      { diameter: '5/32 in' },
      { least: [0.46875, 1e-12], 'usual-to': [1.25, 1e-12], 'least-between-rows': [0.390625, 1e-12] },
    ],
  ),
  ...rows(
    'AC 43.13-1B ¶4-58g: 0.032 sheet takes 1/8',
    'A',
    'rivet-diameter',
  )([{ thickness: '0.032 in' }, { 'three-times': [0.096, 1e-12], size: [0.125, 1e-12] }]),
];

const table71: readonly (readonly [string, string, string, number, number])[] = [
  ['8-36', '12–15', '7–9', 20, 12],
  ['10-32', '20–25', '12–15', 40, 25],
  ['1/4-28', '50–70', '30–40', 100, 60],
  ['5/16-24', '100–140', '60–85', 225, 140],
  ['3/8-24', '160–190', '95–110', 390, 240],
  ['7/16-20', '450–500', '270–300', 840, 500],
  ['1/2-20', '480–690', '290–410', 1100, 660],
  ['9/16-18', '800–1000', '480–600', 1600, 960],
  ['5/8-18', '1100–1300', '600–780', 2400, 1400],
  ['10-24', '20–25', '12–15', 35, 21],
  ['1/4-20', '40–50', '25–30', 75, 45],
  ['5/16-18', '80–90', '48–55', 160, 100],
  ['3/8-16', '160–185', '95–100', 275, 170],
];

const range = (text: string, most: number): Expect => {
  const [low = 0, high = 0] = text.split('–').map(Number);
  return { low: [low, 0], high: [high, 0], 'table-greatest': [most, 0] };
};

export const bolts: readonly PublishedRow[] = [
  ...rows(
    'AC 43.13-1B table 7-1',
    'A',
    'bolt-torque',
  )(
    ...table71.flatMap(([thread, tension, shear, most, mostShear]) => [
      [{ thread, nut: 'tension' }, range(tension, most)] as const,
      [{ thread, nut: 'shear' }, range(shear, mostShear)] as const,
    ]),
  ),
  ...rows(
    'AC 43.13-1B table 7-1 and ¶7-40 d (drag is added); row computed',
    'B',
    'bolt-torque',
  )([
    { thread: '1/4-28', nut: 'tension', drag: '12 in·lb' },
    { low: [62, 0], high: [82, 0] },
  ]),
  // The lowest torque with the least drag and the highest with the most: a castle nut begins at the one and must not pass the other.
  ...rows(
    'AC 43.13-1B ¶7-40 f, castle nut: from least + drag to most + drag; sums computed',
    'B',
    'bolt-torque',
  )([
    { thread: '3/8-24', nut: 'shear', drag: '9 in·lb' },
    { low: [104, 0], high: [119, 0] },
  ]),
  ...rows(
    'AC 43.13-1B table 7-2, nuts used again',
    'A',
    'prevailing-torque',
  )(
    ...(
      [
        ['7/16-20', 8],
        ['1/2-20', 10],
        ['9/16', 13],
        ['5/8', 18],
        ['3/4', 27],
        ['7/8', 40],
        ['1-14', 55],
      ] as const
    ).map(([thread, least]) => [{ thread }, { least: [least, 0] as const }] as const),
  ),
  ...rows(
    'TM 1-1500-204-23-9 fig. 8-16',
    'A',
    'torque-with-adapter',
  )([{ torque: '300 in·lb', wrench: '10 in', adapter: '4 in' }, { setting: [214.29, 0.005] }]),
  ...rows(
    'Navy training manual, torque wrench extension',
    'A',
    'torque-with-adapter',
  )([{ torque: '100 in·lb', wrench: '12 in', adapter: '6 in' }, { setting: [66.7, 0.05] }]),
  ...rows(
    'TM 9-2350-277-40&P p. 44',
    'A',
    'torque-with-adapter',
  )([{ torque: '40 lb·ft', wrench: '12 in', adapter: '4 in' }, { setting: [30, 1e-12] }]),
  ...rows(
    'TM 1-1500-204-23-9 (b), adapter shortens; row computed',
    'B',
    'torque-with-adapter',
  )([{ torque: '300 in·lb', wrench: '10 in', adapter: '-4 in' }, { setting: [500, 1e-12] }]),
  ...rows(
    'TM 9-254 fig. 46, effective length at an angle; row computed',
    'B',
    'torque-with-adapter',
  )([{ torque: '100 in·lb', wrench: '12 in', adapter: '6 in', angle: '45 °' }, { setting: [73.9, 0.05] }]),
];
