import { rows, type PublishedRow } from './row.ts';

export const travels: readonly PublishedRow[] = rows(
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

export const bends: readonly PublishedRow[] = [
  ...rows(
    'AC 43.13-1B p. 4-14 b(2), (3)',
    'A',
    'setback',
  )(
    [{ radius: '0.25 in', thickness: '0.064 in', angle: '45 °' }, { setback: [0.13, 5e-4] }],
    [{ radius: '0.25 in', thickness: '0.064 in', angle: '135 °' }, { setback: [0.758, 5e-4] }],
  ),
  // K is the setback for R + T of one inch. The row for 176° is left out, because the printed 26.63 is wrong: tan 88° is 28.636.
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
