import type { Marks } from './marks.ts';
import { widthOf } from '../../report/width.ts';
import { mark, rowWidth, type Row, type Span, type Style } from './rows.ts';

/** The place of one step on the rivet line. */
export type Rivet =
  | 'driven'
  | 'open'
  | 'todo'
  | 'holdShut'
  | 'holdReleased'
  | 'permanentOpen'
  | 'permanentDone'
  | 'cure'
  | 'outside'
  | 'left';

const styles: Readonly<Record<Rivet, Style>> = {
  driven: 'order',
  open: 'strong',
  todo: 'plain',
  holdShut: 'person',
  holdReleased: 'order',
  permanentOpen: 'plain',
  permanentDone: 'order',
  cure: 'person',
  outside: 'outside',
  left: 'person',
};

const drawRivet = (rivet: Rivet, open: boolean, marks: Marks): Span => {
  const text = marks[rivet];
  return mark(text, open ? 'strong' : styles[rivet]);
};

/** The mark of the open step. Where it has a shape of its own (a hold, a cure), a pointer before it shows the place without colour. */
const drawOpen = (rivet: Rivet, marks: Marks): readonly Span[] =>
  rivet === 'open' ? [drawRivet(rivet, true, marks)] : [mark(marks.pointer, 'strong'), drawRivet(rivet, true, marks)];

/**
 * The rivet line: one mark for each step, in order, in at most `width` columns. A longer job shows the part around the open step, with two
 * dots where it goes on. `open` is the index of the open step, or -1.
 */
export const rivetLine = (rivets: readonly Rivet[], open: number, marks: Marks, width: number): Row => {
  const drawnMarks = rivets.map((rivet, index) =>
    index === open ? drawOpen(rivet, marks) : [drawRivet(rivet, false, marks)],
  );
  const whole = drawnMarks.flat();
  if (rowWidth(whole) <= width) return whole;
  const room = Math.max(1, width - 4);
  const centre = Math.min(Math.max(open, 0), rivets.length - 1);
  let [from, to] = [centre, centre + 1];
  let used = rowWidth(drawnMarks[centre] ?? []);
  for (;;) {
    const after = drawnMarks[to];
    const before = drawnMarks[from - 1];
    const [afterWidth, beforeWidth] = [rowWidth(after ?? []), rowWidth(before ?? [])];
    if (after && used + afterWidth <= room && (to - centre <= centre - from || !before)) {
      used += afterWidth;
      to += 1;
    } else if (before && used + beforeWidth <= room) {
      used += beforeWidth;
      from -= 1;
    } else if (after && used + afterWidth <= room) {
      used += afterWidth;
      to += 1;
    } else break;
  }
  const dots = (there: boolean): readonly Span[] => (there ? [mark('..', 'quiet')] : []);
  const line = [...dots(from > 0), ...drawnMarks.slice(from, to).flat(), ...dots(to < rivets.length)];
  return rowWidth(line) <= width ? line : line.filter(({ text }) => widthOf(text) <= width).slice(0, 1);
};
