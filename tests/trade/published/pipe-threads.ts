import { rows, type PublishedRow } from './row.ts';

/**
 * Size, then for +1, +2 and +3 turns: threads engaged, and threads of L4 showing; then threads of L2 showing at +2 and +3. All are worked
 * out from the table's n, D and L1.
 */
const pipe: readonly (readonly [string, readonly number[], readonly number[], readonly number[]])[] = [
  ['1/8', [5.36, 6.36, 7.36], [5.23, 4.23, 3.23], [0.76, -0.24]],
  ['1/4', [5.1, 6.1, 7.1], [5.6, 4.6, 3.6], [1.13, 0.13]],
  ['3/8', [5.32, 6.32, 7.32], [5.49, 4.49, 3.49], [1.02, 0.02]],
  ['1/2', [5.48, 6.48, 7.48], [5.46, 4.46, 3.46], [0.99, -0.01]],
  ['3/4', [5.75, 6.75, 7.75], [5.36, 4.36, 3.36], [0.89, -0.11]],
  ['1', [5.6, 6.6, 7.6], [5.72, 4.72, 3.72], [1.25, 0.25]],
];

/** L1 in threads, as the source prints it. */
const handTight: readonly (readonly [string, number])[] = [
  ['1/8', 4.36],
  ['1/4', 4.1],
  ['3/8', 4.32],
  ['1/2', 4.48],
  ['3/4', 4.75],
  ['1', 4.6],
];

export const pipes: readonly PublishedRow[] = [
  ...rows(
    'ASME B1.20.1 table (public carrier): L1 in threads',
    'A',
    'pipe-thread',
  )(...handTight.map(([size, threads]) => [{ size, turns: '0' }, { 'hand-tight': [threads, 0.0051] }] as const)),
  // A fitting table prints turns by hand to the half turn (for size 1/8 by an older L1 of .180), so ours must be within a quarter turn.
  ...rows(
    'public fitting table: turns by hand, printed to the half turn',
    'A',
    'pipe-thread',
  )(
    ...(
      [
        ['1/8', 4.5],
        ['1/4', 4],
        ['3/8', 4.5],
        ['1/2', 4.5],
        ['3/4', 4.5],
        ['1', 4.5],
      ] as const
    ).map(([size, turns]) => [{ size, turns: '0' }, { 'hand-tight': [turns, 0.2501] }] as const),
  ),
  // L2 in threads, as printed: 7.12, 7.23, 7.34, 7.47, 7.64, 7.85. Threads of L2 showing when hand-tight are L2 − L1.
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
