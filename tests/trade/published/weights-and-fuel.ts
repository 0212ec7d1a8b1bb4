import { rows, type PublishedRow } from './row.ts';

/** The items of figure 10-11. */
const figure1011 =
  '1169 lb at 10.6 in; 17 lb at -49 in; 170 lb at 16 in; 340 lb at 48 in; 240 lb at 22 in; 100 lb at 75.5 in';

export const weights: readonly PublishedRow[] = [
  // The figure prints the moment of the empty aircraft rounded (12391 for 12391.4), so its sum is 43428 for 43428.4.
  ...rows(
    'AC 43.13-1B fig. 10-11',
    'A',
    'weight-and-balance',
  )([{ items: figure1011 }, { weight: [2036, 0], moment: [43428, 0.5], centre: [21.33, 0.005] }]),
  ...rows(
    'FAA-H-8083-1B, electronic calculator: F 340 lb, L −78 in, W 2006 lb',
    'A',
    'weight-and-balance',
  )([{ items: '340 lb at -78 in; 1666 lb at 0 in' }, { centre: [-13.2, 0.05], weight: [2006, 0] }]),
  ...rows(
    'the same with a datum 128 in ahead, from memory',
    'C',
    'weight-and-balance',
  )([{ items: '340 lb at 50 in; 1666 lb at 128 in' }, { centre: [114.78, 0.005] }]),
  ...rows(
    'AC 43.13-1B ¶10-2 r: tare is subtracted from each scale reading; sums computed',
    'B',
    'weight-and-balance',
  )([
    { items: '343 lb at -78 in; -3 lb at -78 in; 1670 lb at 0 in; -4 lb at 0 in' },
    { centre: [-13.2, 0.05], weight: [2006, 0] },
  ]),
  ...rows(
    'TM 55-1500-342-23 ¶2-7: 200 lb × 50 in = 100 lb × 100 in',
    'A',
    'weight-and-balance',
  )([{ items: '200 lb at 50 in' }, { moment: [10_000, 0] }], [{ items: '100 lb at 100 in' }, { moment: [10_000, 0] }]),
  ...rows(
    'pilot examination in mass and balance, worked in a forum of pilots: chord from 625.6 to 760.1 in',
    'A',
    'mac-percent',
  )(
    [{ centre: '663 in', lemac: '625.6 in', mac: '134.5 in' }, { 'mac-percent': [27.8, 0.05] }],
    [{ centre: '645.586 in', lemac: '625.6 in', mac: '134.5 in' }, { 'mac-percent': [14.86, 0.005] }],
  ),
  ...rows(
    'AC 43.13-1B fig. 10-11: 40 gal at 6 lb',
    'A',
    'fluid-weight',
  )([{ volume: '40 US gal', density: '6 lb/US gal' }, { weight: [240, 1e-9] }]),
  ...rows(
    'AC 43.13-1B ¶10-15 g: 9 qt of oil at 7.5 lb/gal, printed as 17',
    'A',
    'fluid-weight',
  )([{ volume: '9 US qt', density: '7.5 lb/US gal' }, { weight: [17, 0.5] }]),
];

export const fuels: readonly PublishedRow[] = [
  ...rows('14 CFR 23.955 (b), (c), edition of 2014; row computed', 'B', 'fuel-flow-time')(
    [
      { consumption: '8 US gal/h', feed: 'gravity', volume: '1 US gal' },
      { flow: [12, 1e-12], time: [300, 1e-9] },
    ],
    [
      { consumption: '6 US gal/h', feed: 'gravity', volume: '1 US gal' },
      { flow: [9, 1e-12], time: [400, 1e-9] },
    ],
    [
      { consumption: '8 US gal/h', feed: 'pump', volume: '1 US gal' },
      { flow: [10, 1e-12], time: [360, 1e-9] },
    ],
  ),
  ...rows('ideal gas, from memory; row computed', 'C', 'pressure-loss')(
    ...(
      [
        [10, 2.8793],
        [15, 3.1896],
        [18, 3.3759],
        [22, 3.6241],
        [25, 3.8104],
      ] as const
    ).map(
      ([celsius, psi]) =>
        [
          {
            start: '3.5 psi',
            end: '3.5 psi',
            'start-temperature': '20 °C',
            'end-temperature': `${celsius} °C`,
            'start-barometer': '14.696 psi',
            'end-barometer': '14.696 psi',
          },
          { expected: [psi, 6e-5] },
        ] as const,
    ),
    [
      {
        start: '3.5 psi',
        end: '3.2 psi',
        'start-temperature': '20 °C',
        'end-temperature': '16 °C',
        'start-barometer': '14.696 psi',
      },
      { expected: [3.2517, 6e-5], loss: [0.0517, 6e-5] },
    ],
    [
      {
        start: '3.5 psi',
        end: '3.4 psi',
        'start-temperature': '20 °C',
        'end-temperature': '20 °C',
        'start-barometer': '14.696 psi',
        'end-barometer': '14.796 psi',
      },
      { expected: [3.4, 1e-9], loss: [0, 1e-9] },
    ],
  ),
];

export const conversions: readonly PublishedRow[] = [
  ...rows('NIST SP 811 B.8; row computed', 'B', 'convert')(
    ...(
      [
        [25, 2.8246],
        [50, 5.6492],
        [70, 7.9089],
        [140, 15.8179],
      ] as const
    ).map(([torque, metric]) => [{ value: `${torque} in·lb`, to: 'N·m' }, { value: [metric, 6e-5] }] as const),
    [{ value: '9 US gal/h', to: 'L/h' }, { value: [34.069, 6e-4] }],
    [{ value: '7.5 US gal/h', to: 'L/h' }, { value: [28.391, 6e-4] }],
    [{ value: '15 US gal/h', to: 'L/h' }, { value: [56.781, 6e-4] }],
    [{ value: '3.5 psi', to: 'kPa' }, { value: [24.132, 6e-4] }],
    [{ value: '3.5 psi', to: 'inH2O' }, { value: [96.88, 6e-3] }],
    [{ value: '5/32 in', to: 'mm' }, { value: [3.96875, 0] }],
    [{ value: '104 °F', to: '°C' }, { value: [40, 0] }],
  ),
];
