import { widthOf } from '../../report/width.ts';
import { cut, mark, rowWidth, span, type Row, type Style } from '../drawing/rows.ts';
import type { Sized } from './page.ts';

/** A name that gives way keeps its last word, which says where: `thick.. forward`. `room` is in columns. */
const shortened = (name: string, room: number): string => {
  const last = name.split(' ').at(-1) ?? '';
  const left = room - widthOf(last) - 1;
  return widthOf(name) <= room || last === name || left < 4
    ? cut(name, room)
    : `${cut(name.slice(0, -last.length - 1), left)} ${last}`;
};

/** So many columns of a name say which value it is; a note may take the others. */
const leastName = 14;

/** One value with its verdict. Where the row is short, the name gives way and never the verdict. */
export const valueRow = (
  name: string,
  value: string,
  verdict: string | undefined,
  { marks, width }: Sized,
  note?: string,
): Row => {
  const sign =
    verdict === 'within'
      ? marks.within
      : verdict === 'outside'
        ? marks.not
        : verdict === 'undecided'
          ? marks.undecided
          : ' ';
  const style: Style =
    verdict === 'within' ? 'order' : verdict === 'outside' ? 'outside' : verdict === 'undecided' ? 'person' : 'plain';
  const end = [span(value), ...(verdict === undefined ? [] : [mark(` ${verdict}`, style)])];
  const noted = note === undefined ? end : [...end, mark(` ${note}`, 'quiet')];
  const whole = rowWidth(noted) + Math.min(widthOf(name), leastName) + 3 <= width ? noted : end;
  const room = Math.max(6, width - rowWidth(whole) - 3);
  return [mark(`${sign} `, style), span(`${shortened(name, room)} `, 'quiet'), ...whole];
};
