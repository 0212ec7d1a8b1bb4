/**
 * Published values that the calculations are checked against, one row each.
 * - A: a published input with its published output.
 * - B: a published rule or table, the output worked out from it.
 * - C: from memory, or worked out only; it checks our arithmetic, not the world.
 */
export interface PublishedRow {
  readonly source: string;
  readonly strength: 'A' | 'B' | 'C';
  readonly calculation: string;
  readonly inputs: Readonly<Record<string, string>>;
  /** Result by name: value in the unit of the result, and how far off it may be. */
  readonly expect: Readonly<Record<string, readonly [value: number, within: number]>>;
}

type Expect = PublishedRow['expect'];

const rows =
  (source: string, strength: PublishedRow['strength'], calculation: string) =>
  (...of: readonly (readonly [PublishedRow['inputs'], Expect])[]): readonly PublishedRow[] =>
    of.map(([inputs, expect]) => ({ source, strength, calculation, inputs, expect }));

const rivets: readonly PublishedRow[] = [
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

const bolts: readonly PublishedRow[] = [
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

/** Size, then for +1, +2, +3 turns: engaged, showing of L4; showing of L2 at +2 and +3. All from the table's n, D, L1. */
const pipe: readonly (readonly [string, readonly number[], readonly number[], readonly number[]])[] = [
  ['1/8', [5.36, 6.36, 7.36], [5.23, 4.23, 3.23], [0.76, -0.24]],
  ['1/4', [5.1, 6.1, 7.1], [5.6, 4.6, 3.6], [1.13, 0.13]],
  ['3/8', [5.32, 6.32, 7.32], [5.49, 4.49, 3.49], [1.02, 0.02]],
  ['1/2', [5.48, 6.48, 7.48], [5.46, 4.46, 3.46], [0.99, -0.01]],
  ['3/4', [5.75, 6.75, 7.75], [5.36, 4.36, 3.36], [0.89, -0.11]],
  ['1', [5.6, 6.6, 7.6], [5.72, 4.72, 3.72], [1.25, 0.25]],
];

/** L1 in threads as the carrier prints it. */
const handTight: readonly (readonly [string, number])[] = [
  ['1/8', 4.36],
  ['1/4', 4.1],
  ['3/8', 4.32],
  ['1/2', 4.48],
  ['3/4', 4.75],
  ['1', 4.6],
];

const pipes: readonly PublishedRow[] = [
  ...rows(
    'ASME B1.20.1 table (public carrier): L1 in threads',
    'A',
    'pipe-thread',
  )(...handTight.map(([size, threads]) => [{ size, turns: '0' }, { 'hand-tight': [threads, 0.0051] }] as const)),
  // L2 in threads as printed: 7.12, 7.23, 7.34, 7.47, 7.64, 7.85; showing of L2 at hand-tight is L2 − L1
  ...rows(
    'ASME B1.20.1 table (public carrier): L2 − L1 in threads; subtraction computed',
    'A',
    'pipe-thread',
  )(
    ...(
      [
        ['1/8', 2.76],
        ['1/4', 3.13],
        ['3/8', 3.02],
        ['1/2', 2.99],
        ['3/4', 2.89],
        ['1', 3.25],
      ] as const
    ).map(([size, threads]) => [{ size, turns: '0' }, { 'showing-effective': [threads, 0.0101] }] as const),
  ),
  ...rows(
    'ASME B1.20.1 table and formulas; row computed',
    'B',
    'pipe-thread',
  )(
    ...pipe.flatMap(([size, engaged, showing, effective]) =>
      [1, 2, 3].map(
        (turns) =>
          [
            { size, turns: `${turns}` },
            {
              engaged: [engaged[turns - 1] ?? Number.NaN, 0.0051],
              showing: [showing[turns - 1] ?? Number.NaN, 0.0051],
              ...(turns > 1 ? { 'showing-effective': [effective[turns - 2] ?? Number.NaN, 0.0051] as const } : {}),
            },
          ] as const,
      ),
    ),
  ),
];

const points = { point1: '24 h at 70 °F', point2: '8 h at 120 °F' };

const cures: readonly PublishedRow[] = [
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

const mixes: readonly PublishedRow[] = [
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

const dews: readonly PublishedRow[] = [
  // The chart rounds down to whole °F: ours may lie 0.2 below to 1.1 above it.
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

const probability = (limits: string, value: string, uncertainty: string): PublishedRow['inputs'] => ({
  value,
  limits,
  uncertainty,
});

const conformances: readonly PublishedRow[] = [
  ...rows(
    'ILAC-G8:09/2019, quoted by laboratories: at the limit 50 %',
    'A',
    'conformance-probability',
  )([probability('at most 25.1 mm', '25.1 mm', '0.04 mm'), { probability: [50, 1e-9] }]),
  ...rows(
    'ILAC-G8:09/2019, quoted by laboratories: guard band U gives less than 2.5 % false accept',
    'A',
    'conformance-probability',
  )([probability('at most 25.1 mm', '25.06 mm', '0.04 mm'), { probability: [97.725, 1e-4] }]),
  ...rows('normal form; row computed', 'B', 'conformance-probability')(
    [probability('24.9 to 25.1 mm', '24.90 mm', '0.04 mm'), { probability: [50, 0.005] }],
    [probability('24.9 to 25.1 mm', '24.94 mm', '0.04 mm'), { probability: [97.72, 0.01] }],
    [probability('24.9 to 25.1 mm', '25.06 mm', '0.04 mm'), { probability: [97.72, 0.01] }],
    [probability('24.9 to 25.1 mm', '25.09 mm', '0.04 mm'), { probability: [69.15, 0.005] }],
  ),
  ...rows(
    'JCGM 106 diode example, from memory',
    'C',
    'conformance-probability',
  )([probability('at most -5.40 V', '-5.47 V', '0.10 V'), { probability: [91.92, 0.005] }]),
  ...rows(
    'resolution and calibration combined; computed',
    'B',
    'expanded-uncertainty',
  )([{ resolution: '0.01 mm', standard: '0.01 mm' }, { expanded: [0.020817, 1e-6] }]),
  ...rows(
    'GUM F.2.2.1, u = 0.29 δx, from memory',
    'C',
    'expanded-uncertainty',
  )([{ resolution: '1 mm' }, { expanded: [0.57735, 1e-5] }]),
];

/** The items of figure 10-11. */
export const figure1011 =
  '1169 lb at 10.6 in; 17 lb at -49 in; 170 lb at 16 in; 340 lb at 48 in; 240 lb at 22 in; 100 lb at 75.5 in';

const weights: readonly PublishedRow[] = [
  // The figure prints the moment of the empty aircraft rounded (12391 for 12391.4): 43428 for 43428.4.
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
    'TM 55-1500-342-23 ¶2-7: 200 lb × 50 in = 100 lb × 100 in',
    'A',
    'weight-and-balance',
  )([{ items: '200 lb at 50 in' }, { moment: [10_000, 0] }], [{ items: '100 lb at 100 in' }, { moment: [10_000, 0] }]),
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

const travels: readonly PublishedRow[] = rows(
  'geometry; row computed',
  'B',
  'travel',
)(
  ...(
    [
      [10, 52.293, 52.094, 52.898],
      [15, 78.316, 77.646, 80.385],
      [20, 104.189, 102.606, 109.191],
      [25, 129.864, 126.785, 139.892],
      [30, 155.291, 150, 173.205],
    ] as const
  ).map(
    ([angle, chord, height, ruler]) =>
      [
        { radius: '300 mm', angle: `${angle} °` },
        { chord: [chord, 6e-4], height: [height, 6e-4], ruler: [ruler, 6e-4] },
      ] as const,
  ),
  ...(
    [
      [1, 5.732],
      [2, 11.478],
      [3, 17.254],
      [5, 28.955],
      [10, 60],
    ] as const
  ).map(([chord, angle]) => [{ radius: '10 in', chord: `${chord} in` }, { angle: [angle, 6e-4] }] as const),
);

const bends: readonly PublishedRow[] = [
  ...rows(
    'AC 43.13-1B p. 4-14 b(2), (3)',
    'A',
    'setback',
  )(
    [{ radius: '0.25 in', thickness: '0.064 in', angle: '45 °' }, { setback: [0.13, 5e-4] }],
    [{ radius: '0.25 in', thickness: '0.064 in', angle: '135 °' }, { setback: [0.758, 5e-4] }],
  ),
  // K = setback for R + T of one inch. The row for 176° is left out: the printed 26.63 is wrong, tan 88° is 28.636.
  ...rows(
    'AC 43.13-1B table 4-7, K',
    'A',
    'setback',
  )(
    ...(
      [
        [10, 0.0874],
        [20, 0.1763],
        [30, 0.2679],
        [45, 0.4142],
        [60, 0.5773],
        [72, 0.7265],
        [90, 1],
      ] as const
    ).map(
      ([angle, k]) =>
        [{ radius: '0.9 in', thickness: '0.1 in', angle: `${angle} °` }, { setback: [k, 1.5e-4] }] as const,
    ),
    ...(
      [
        [105, 1.303],
        [120, 1.732],
        [135, 2.414],
        [150, 3.732],
        [160, 5.671],
        [170, 11.43],
        [175, 22.9],
      ] as const
    ).map(
      ([angle, k]) =>
        [{ radius: '0.9 in', thickness: '0.1 in', angle: `${angle} °` }, { setback: [k, k * 2e-4 + 5e-4] }] as const,
    ),
  ),
  ...rows(
    'FAA-H-8083-31 ch. 4, figs 4-124 to 4-126',
    'A',
    'flat-length',
  )([
    { leg: '1.00 in; 2.00 in; 1.00 in', radius: '0.16 in', thickness: '0.040 in', angle: '90 °' },
    { 'flat-1': [0.8, 1e-12], 'flat-2': [1.6, 1e-12], 'flat-3': [0.8, 1e-12] },
  ]),
  ...rows(
    'the same part, allowance and width; computed',
    'B',
    'flat-length',
  )([
    { leg: '1.00 in; 2.00 in; 1.00 in', radius: '0.16 in', thickness: '0.040 in', angle: '90 °' },
    { 'flat-length': [3.758, 5e-4] },
  ]),
  ...rows(
    'AC 43.13-1B formula, 0.01743 R + 0.0078 T; row computed',
    'B',
    'bend-allowance',
  )([{ radius: '0.16 in', thickness: '0.040 in', angle: '90 °' }, { allowance: [0.2791, 5e-5] }]),
  ...rows(
    'public sheet-metal workbook, T .050 R .032 90°',
    'A',
    'bend-allowance',
  )([{ radius: '0.032 in', thickness: '0.050 in', angle: '90 °' }, { allowance: [0.085, 5e-4] }]),
  ...rows(
    'public sheet-metal workbook, T .050 R .032 90°',
    'A',
    'setback',
  )([
    { radius: '0.032 in', thickness: '0.050 in', angle: '90 °' },
    { setback: [0.082, 1e-12], deduction: [0.079, 5e-4] },
  ]),
  ...rows(
    'public sheet-metal workbook, part with three bends',
    'A',
    'flat-length',
  )([
    { leg: '0.740 in; 0.420 in; 1.050 in; 1.000 in', radius: '0.032 in', thickness: '0.050 in', angle: '90 °' },
    { 'flat-length': [2.973, 0.001] },
  ]),
];

const fuels: readonly PublishedRow[] = [
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

const conversions: readonly PublishedRow[] = [
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

/** Every row, by the order of the trades. */
export const published: readonly PublishedRow[] = [
  ...rivets,
  ...bolts,
  ...pipes,
  ...cures,
  ...mixes,
  ...dews,
  ...conformances,
  ...weights,
  ...travels,
  ...bends,
  ...fuels,
  ...conversions,
];
