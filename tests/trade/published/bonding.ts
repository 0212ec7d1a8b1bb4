import { rows, type PublishedRow } from './row.ts';

const points = { point1: '24 h at 70 °F', point2: '8 h at 120 °F' };

export const cures: readonly PublishedRow[] = [
  ...rows(
    'TM 1-1520-240-BD ¶g(8): 11 h at 104 °F, a point that the fit has not seen',
    'A',
    'cure-time',
  )([{ at: '104 °F', ...points }, { time: [11, 0.14] }]),
  ...rows(
    'TM 1-1520-240-BD ¶g(8): the two points themselves',
    'A',
    'cure-time',
  )([{ at: '70 °F', ...points }, { time: [24, 1e-9] }], [{ at: '120 °F', ...points }, { time: [8, 1e-9] }]),
  ...rows(
    'TM 1-1520-240-BD ¶g(8), fit; row computed',
    'B',
    'cure-time',
  )([{ at: '104 °F', ...points }, { time: [11.13, 0.005] }]),
  ...rows('ASTM C1074 form, Q 5000 K; row computed', 'B', 'equivalent-time')(
    ...(
      [
        [5, 0.3986],
        [10, 0.5475],
        [15, 0.7438],
        [20, 1],
        [25, 1.3311],
        [30, 1.7553],
        [40, 2.9723],
      ] as const
    ).map(
      ([celsius, factor]) =>
        [
          { history: `1 h at ${celsius} °C`, reference: '20 °C', activation: '5000 K' },
          { time: [factor, 6e-5] },
        ] as const,
    ),
    [
      { history: '12 h at 10 °C; 6 h at 15 °C; 6 h at 25 °C', reference: '20 °C', activation: '5000 K' },
      { time: [19.02, 0.005] },
    ],
    [
      { history: '12 h at 10 °C; 6 h at 15 °C; 6 h at 25 °C', reference: '23 °C', activation: '5000 K' },
      { time: [16, 0.005] },
    ],
    [{ history: '4 h at 90 °F; 10 h at 60 °F', reference: '70 °F', activation: '3747.90 K' }, { time: [14.18, 0.005] }],
  ),
  ...rows(
    'public exam explanation of Nurse-Saul: 28 d at 15 °C, datum −11 °C',
    'A',
    'maturity',
  )([{ history: '28 d at 15 °C', datum: '-11 °C' }, { maturity: [728 * 24, 1e-6] }]),
  ...rows(
    'Nurse-Saul form; row computed',
    'B',
    'maturity',
  )(
    [
      { history: '12 h at 10 °C; 6 h at 15 °C; 6 h at 25 °C', datum: '-10 °C', reference: '20 °C' },
      { maturity: [600, 1e-9], time: [20, 1e-9] },
    ],
    [{ history: '12 h at 10 °C; 6 h at 15 °C; 6 h at 25 °C', datum: '0 °C' }, { maturity: [360, 1e-9] }],
  ),
];

export const mixes: readonly PublishedRow[] = [
  ...rows(
    'TM 55-1905-223-SDC ¶8-16: 4:1, 400 g takes 100 g, 500 g in all',
    'A',
    'mix',
  )([
    { base: '400 g', ratio: '4:1' },
    { target: [100, 0], total: [500, 0] },
  ]),
  ...rows(
    'TM 1-1520-240-BD ¶g(2): 100 B to 140 A; a 60 g batch split by arithmetic',
    'B',
    'mix',
  )([
    { base: '25 g', ratio: '100:140' },
    { target: [35, 0], total: [60, 0] },
  ]),
  ...rows(
    'arithmetic: 100:44 by weight, ± 2 % of the target',
    'C',
    'mix',
  )([
    { base: '100 g', ratio: '100:44', tolerance: '2%' },
    { target: [44, 0], low: [43.12, 1e-12], high: [44.88, 1e-12] },
  ]),
];

const humid = (air: string, humidity: string): PublishedRow['inputs'] => ({ temperature: air, humidity });

export const dews: readonly PublishedRow[] = [
  // The chart rounds down to whole °F, so our value may be from 0.2 below to 1.1 above the printed one.
  ...rows(
    'public dew-point chart for coatings, whole °F rounded down',
    'A',
    'dew-point',
  )(
    ...(
      [
        [70, 65, 57],
        [70, 90, 67],
        [70, 50, 50],
        [60, 80, 54],
        [80, 60, 64],
        [50, 90, 47],
        [50, 50, 31],
        [100, 50, 77],
      ] as const
    ).map(
      ([air, humidity, dew]) => [humid(`${air} °F`, `${humidity} %`), { 'dew-point': [dew + 0.45, 0.65] }] as const,
    ),
  ),
  ...rows(
    'Alduchov–Eskridge constants (public page); row computed',
    'B',
    'dew-point',
  )(
    ...(
      [
        [5, 90, 3.496],
        [10, 80, 6.708],
        [15, 50, 4.657],
        [20, 50, 9.261],
        [20, 60, 12],
        [20, 85, 17.401],
        [25, 60, 16.698],
        [30, 70, 23.93],
        [40, 50, 27.604],
      ] as const
    ).map(([air, humidity, dew]) => [humid(`${air} °C`, `${humidity} %`), { 'dew-point': [dew, 6e-4] }] as const),
  ),
];
