import { widthOf } from '../../report/width.ts';
import type { Marks } from './marks.ts';
import { mark, span, type Row } from './rows.ts';

/** The value of one side of a twin reading. */
export interface TwinSide {
  readonly side: string;
  /** As it is written, with its unit; absent while it is not entered. */
  readonly text?: string;
  /** The same as a number, in one unit for all sides. */
  readonly at?: number;
}

/** The longest that an axis is drawn, in columns. */
const longestAxis = 40;

/**
 * Both sides of a twin reading, one beneath the other on one scale, so that their difference is a length. `allowed` is the largest
 * difference, in the unit of the sides, where it is a number: the scale is then at least that long, so that a small difference looks small.
 */
export const twinRows = (
  sides: readonly TwinSide[],
  allowed: number | undefined,
  isOutside: boolean,
  marks: Marks,
  width: number,
): readonly Row[] => {
  const names = Math.max(...sides.map(({ side }) => widthOf(side)));
  const texts = Math.max(...sides.map(({ text = '-' }) => widthOf(text)));
  const room = Math.min(longestAxis, width - names - texts - 4);
  const known = sides.flatMap(({ at }) => at ?? []);
  const [least, most] = [Math.min(...known), Math.max(...known)];
  const length = Math.max(most - least, 2 * (allowed ?? 0)) * 1.25 || 1;
  const from = (least + most) / 2 - length / 2;
  return sides.map(({ side, text = '-', at }): Row => {
    const head: Row = [span(`${side.padEnd(names)}  `, 'quiet'), span(text.padStart(texts), 'strong')];
    if (room < 8) return head;
    const cell =
      at === undefined ? -1 : Math.min(room - 1, Math.max(0, Math.round(((at - from) / length) * (room - 1))));
    if (cell < 0) return [...head, mark(`  ${marks.axis.repeat(room)}`, 'quiet')];
    return [
      ...head,
      mark(`  ${marks.axis.repeat(cell)}`, 'quiet'),
      isOutside ? mark(marks.outside, 'outside') : mark(marks.at, 'order'),
      mark(marks.axis.repeat(room - cell - 1), 'quiet'),
    ];
  });
};
