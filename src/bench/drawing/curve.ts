import type { Marks } from './marks.ts';
import { widthOf } from '../../report/width.ts';
import { mark, spreadApart, type Row, type Span, type Style } from './rows.ts';

/** One column of a cure's time: how warm it was, and whether it counts. */
export interface Cell {
  /** In the unit of the floor. */
  readonly warmth: number;
  readonly counted: boolean;
}

export type CurveCells = readonly (Cell | undefined)[];

const grouped = (cells: readonly { readonly text: string; readonly style: Style }[]): Row => {
  const spans: Span[] = [];
  for (const cell of cells) {
    const last = spans.at(-1);
    if (last?.style === cell.style) spans[spans.length - 1] = { ...last, text: last.text + cell.text };
    else spans.push(mark(cell.text, cell.style));
  }
  return spans;
};

/**
 * The temperature of a cure over its time, in two rows, for where there is no room for more. The upper row shows the temperature above the
 * floor as blocks; anything below the floor shows the lowest block, so that a cold night is a notch. The lower row is filled where time
 * counted, and hollow where it did not (below the floor, or with nothing entered).
 */
export const cureStrip = (cells: CurveCells, floor: number, marks: Marks): readonly [upper: Row, lower: Row] => {
  const warmest = Math.max(floor + 1, ...cells.map((cell) => cell?.warmth ?? floor));
  const top = marks.heights.length - 1;
  const height = ({ warmth }: Cell): string => {
    if (warmth < floor) return marks.heights[0] ?? '_';
    const step = 1 + Math.round(((warmth - floor) / (warmest - floor)) * (top - 1));
    return marks.heights[Math.min(step, top)] ?? '#';
  };
  return [
    grouped(
      cells.map((cell) =>
        cell ? { text: height(cell), style: cell.counted ? 'order' : 'person' } : { text: ' ', style: 'plain' },
      ),
    ),
    grouped(
      cells.map((cell) =>
        cell?.counted ? { text: marks.filled, style: 'order' } : { text: marks.hollow, style: 'quiet' },
      ),
    ),
  ];
};

/** How the rows of a curve are shared out: `below` rows under the floor, and `each` row is so many degrees. */
interface Scale {
  readonly below: number;
  readonly each: number;
}

const scaleOf = (cells: CurveCells, floor: number, height: number): Scale => {
  const known = cells.flatMap((cell) => cell?.warmth ?? []);
  const up = Math.max(1, ...known.map((warmth) => warmth - floor));
  const down = Math.max(0, ...known.map((warmth) => floor - warmth));
  const below = down === 0 ? 0 : Math.min(height - 1, Math.max(1, Math.round((height * down) / (up + down))));
  return { below, each: Math.max(up / (height - below), below === 0 ? 0 : down / below) };
};

/** How high a column reaches, in eighths of a row. A column below the floor never touches it, however it rounds. */
const reachOf = ({ warmth }: Cell, floor: number, { below, each }: Scale, height: number): number => {
  const exact = (below + (warmth - floor) / each) * 8;
  return warmth < floor
    ? Math.min(Math.max(1, Math.floor(exact)), below * 8 - 1)
    : Math.min(height * 8, Math.round(exact));
};

const cellText = (cell: Cell, filled: number, marks: Marks): string => {
  if (!cell.counted) return marks.hollow;
  const step = Math.min(filled, 8) - 1;
  return marks.fine ? (marks.heights[step] ?? marks.filled) : marks.filled;
};

/** What is written beside the rows: both ends of the scale, and the floor. */
export interface CurveWords {
  readonly floor: string;
  /** A temperature so many degrees above or below the floor, as text. */
  readonly degrees: (fromFloor: number) => string;
  readonly from: string;
  readonly to: string;
}

/** When the curve begins and ends; between them, where there is room, what filled and hollow mean. */
const timeRow = ({ from, to }: CurveWords, marks: Marks, width: number): Row => {
  const means = `${marks.filled} counts   ${marks.hollow} counts nothing`;
  const room = width - widthOf(from) - widthOf(to) - means.length;
  if (room < 8) return spreadApart([mark(from, 'quiet')], [mark(to, 'quiet')], width);
  const before = ' '.repeat(Math.floor(room / 2));
  return spreadApart([mark(`${from}${before}${means}`, 'quiet')], [mark(to, 'quiet')], width);
};

/**
 * The same drawn to scale, in `height` rows and one for the time. Columns rise to their temperature, filled where time counted and hollow
 * where it did not. A line marks the floor where no column covers it.
 */
export const cureCurve = (
  cells: CurveCells,
  floor: number,
  words: CurveWords,
  marks: Marks,
  height: number,
): readonly Row[] => {
  const scale = scaleOf(cells, floor, height);
  const reaches = cells.map((cell) => (cell ? reachOf(cell, floor, scale, height) : 0));
  const above = words.degrees(scale.each * (height - scale.below));
  const under = words.degrees(-scale.each * scale.below);
  const gutter = Math.max(words.floor.length, above.length, under.length);
  const labels = new Map([
    [0, under],
    [scale.below, words.floor],
    ...(height - 1 > scale.below ? ([[height - 1, above]] as const) : []),
  ]);
  const rows = Array.from({ length: height }, (_, fromTop): Row => {
    const row = height - 1 - fromTop;
    const isFloor = row === scale.below;
    const label = (labels.get(row) ?? '').padStart(gutter);
    const line = grouped(
      cells.map((cell, index) => {
        const filled = (reaches[index] ?? 0) - row * 8;
        if (cell && filled > 0)
          return { text: cellText(cell, filled, marks), style: cell.counted ? 'order' : 'person' };
        return { text: isFloor ? (marks.heights[0] ?? '_') : ' ', style: 'quiet' };
      }),
    );
    return [mark(`${label} `, isFloor ? 'plain' : 'quiet'), ...line];
  });
  return [...rows, [mark(' '.repeat(gutter + 1)), ...timeRow(words, marks, cells.length)]];
};

/**
 * How much of what is needed has counted, as one bar to scale with its percent: empty at the start, full only when it is reached. `progress`
 * from 0 to 1 and `percent`, rounded down, say the same.
 */
export const progressBar = (
  { progress, percent, reached }: { readonly progress: number; readonly percent: number; readonly reached: boolean },
  marks: Marks,
  width: number,
): Row => {
  const words = ` ${String(percent).padStart(3)} %`;
  const inner = Math.max(1, width - words.length - 2);
  const halves = marks.half === '' ? 1 : 2;
  const filled = reached
    ? inner * halves
    : Math.min(Math.max(0, Math.floor(progress * inner * halves)), inner * halves - 1);
  const text = marks.filled.repeat(Math.floor(filled / halves)) + (filled % halves === 1 ? marks.half : '');
  return [
    mark(marks.axisLow, 'quiet'),
    mark(text, 'order'),
    mark(marks.rest.repeat(inner - text.length), 'quiet'),
    mark(marks.axisHigh, 'quiet'),
    mark(words),
  ];
};
