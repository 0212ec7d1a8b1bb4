import type { Marks } from './marks.ts';
import { mark, type Row, type Span, type Style } from './rows.ts';

/** One stretch of a cure's clock: how warm, and whether it counts. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly warmth: number;
  readonly counted: boolean;
}

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
 * The temperature of a cure along its clock, as block characters standing on the floor, and beneath it what counted: filled where it
 * did, hollow where it did not (below the floor, or with nothing entered). Anything below the floor shows the lowest block, so that a cold
 * night is a notch. Two rows of `width` columns.
 */
export const cureCurve = (
  stretches: readonly Stretch[],
  from: number,
  to: number,
  floor: number,
  marks: Marks,
  width: number,
): readonly Row[] => {
  const warmest = Math.max(floor + 1, ...stretches.map(({ warmth }) => warmth));
  const top = marks.heights.length - 1;
  const columns = Array.from({ length: Math.max(0, width) }, (_, column) => {
    const start = from + ((to - from) * column) / width;
    const end = from + ((to - from) * (column + 1)) / width;
    const inside = stretches.filter((stretch) => stretch.from < end && stretch.to > start);
    // A column that holds a stretch which does not count shows that one: nothing uncounted hides behind the rounding of columns.
    return inside.find(({ counted }) => !counted) ?? inside[0];
  });
  const height = (stretch: Stretch): string => {
    if (stretch.warmth < floor) return marks.heights[0] ?? '_';
    const step = 1 + Math.round(((stretch.warmth - floor) / (warmest - floor)) * (top - 1));
    return marks.heights[Math.min(step, top)] ?? '#';
  };
  return [
    grouped(
      columns.map((stretch) =>
        stretch
          ? { text: height(stretch), style: stretch.counted ? 'order' : 'person' }
          : { text: ' ', style: 'plain' },
      ),
    ),
    grouped(
      columns.map((stretch) =>
        stretch?.counted ? { text: marks.filled, style: 'order' } : { text: marks.hollow, style: 'quiet' },
      ),
    ),
  ];
};

/** How far along something is, as one bar; full only when it is reached. */
export const bar = (progress: number, reached: boolean, marks: Marks, width: number): Row => {
  const full = reached ? width : Math.min(Math.max(0, Math.floor(progress * width)), width - 1);
  return [mark(marks.filled.repeat(full), 'order'), mark(marks.hollow.repeat(Math.max(0, width - full)), 'quiet')];
};
