import type { Marks } from './marks.ts';
import { mark, type Row, type Span, type Style } from './rows.ts';

export type Fastened = 'done' | 'unmarked' | 'outside' | 'todo';

const look = (state: Fastened, next: boolean, marks: Marks): { readonly text: string; readonly style: Style } => {
  if (state === 'outside') return { text: marks.outside, style: 'outside' };
  if (next) return { text: marks.open, style: 'strong' };
  if (state === 'done') return { text: marks.driven, style: 'order' };
  if (state === 'unmarked') return { text: marks.left, style: 'person' };
  return { text: marks.todo, style: 'plain' };
};

/**
 * The tightening order as a map: the numbers of the fasteners in the order in which they are tightened, each with its mark beneath, and a
 * pointer at the next one. It takes as many pairs of rows as the width needs.
 */
export const tighteningMap = (
  order: readonly number[],
  stateOf: (fastener: number) => Fastened,
  next: number | undefined,
  marks: Marks,
  width: number,
): readonly Row[] => {
  const cell = Math.max(...order.map((fastener) => String(fastener).length), marks.driven.length) + 2;
  const each = Math.max(1, Math.floor(width / cell));
  const rows: Row[] = [];
  for (let from = 0; from < order.length; from += each) {
    const numbers: Span[] = [];
    const states: Span[] = [];
    for (const fastener of order.slice(from, from + each)) {
      const here = fastener === next;
      const number = `${here ? marks.pointer : ' '}${fastener}`;
      numbers.push(mark(number.padEnd(cell), here ? 'strong' : 'quiet'));
      const { text, style } = look(stateOf(fastener), here, marks);
      states.push(mark(` ${text}`.padEnd(cell), style));
    }
    rows.push(numbers, states);
  }
  return rows;
};
