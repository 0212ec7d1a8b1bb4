import type { Fault } from '../../fault/fault.ts';
import type { EntryVerdict } from '../../job/entry.ts';
import { spoken } from '../drawing/clock.ts';
import type { Marks } from '../drawing/marks.ts';
import type { Now } from '../ports.ts';
import { mark, paragraphRows, type Row, type Style } from '../drawing/rows.ts';
import type { ShownAnswer } from '../session/state.ts';
import { marked } from './page.ts';

/** The mark and the colour of a verdict. */
export const verdictLook = (verdict: EntryVerdict, marks: Marks): { readonly sign: string; readonly style: Style } => {
  if (verdict === 'outside') return { sign: marks.not, style: 'outside' };
  if (verdict === 'undecided') return { sign: marks.undecided, style: 'person' };
  return { sign: marks.within, style: 'order' };
};

export const verdictRow = (verdict: EntryVerdict, marks: Marks, more = ''): Row => {
  const { sign, style } = verdictLook(verdict, marks);
  return [mark(`${sign} ${verdict}`, style), ...(more === '' ? [] : [mark(more)])];
};

/** What is wrong with what was typed, and what to do. */
export const faultRows = (fault: Fault, marks: Marks, width: number, now: Now): readonly Row[] => [
  ...marked(marks.attention, spoken(fault.what, now.ms, now.offset), width, 'person'),
  ...paragraphRows(spoken(fault.todo, now.ms, now.offset), Math.max(8, width - 2)).map((line): Row => [
    mark('  '),
    ...line,
  ]),
];

/** The answer to the last act. */
export const answerRows = (answer: ShownAnswer | undefined, marks: Marks, width: number, now: Now): readonly Row[] => {
  if (!answer || answer.kind === 'not') return [];
  if (answer.kind === 'notice') return answer.lines.flatMap((line) => marked(marks.attention, line, width, 'person'));
  const look =
    answer.verdict === undefined ? { sign: marks.within, style: 'order' as const } : verdictLook(answer.verdict, marks);
  const words = spoken(answer.lines.join('; '), now.ms, now.offset);
  const line = [answer.verdict, words].filter((part) => part !== undefined && part !== '').join(': ');
  return line === '' ? [] : marked(look.sign, line, width, look.style);
};
