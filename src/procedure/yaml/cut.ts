import type { Scalar } from 'yaml';
import { lineOf, type Source } from './source.ts';

/** A comment has a space after its #. Without the space, text was meant: `bolt #10-32`. */
const isCut = (text: string, hash: number): boolean => {
  const next = text[hash + 1];
  return text[hash] === '#' && next !== undefined && !/[\s#]/.test(next);
};

const skipSpaces = (text: string, offset: number): number => {
  let at = offset;
  while (text[at] === ' ') at += 1;
  return at;
};

/** The column of an offset, from 0. */
const columnOf = (source: Source, offset: number): number => offset - source.lines[lineOf(source, offset)]!;

/**
 * The offset of a # that cuts the text of a scalar, if one does: on its line, or at the beginning of a next line that
 * is indented as more of the same text. `from` is where the scalar's key or dash stands.
 */
export const cutAfter = (source: Source, node: Scalar, from: number, inFlow: boolean): number | undefined => {
  const { text } = source;
  const end = node.range![1];
  if (node.type === 'BLOCK_FOLDED' || node.type === 'BLOCK_LITERAL') return undefined;
  const after = skipSpaces(text, end);
  if (after > end && isCut(text, after)) return after;
  const lineEnd = text[after] === '\r' ? after + 1 : after;
  if (inFlow || node.type !== 'PLAIN' || text[lineEnd] !== '\n') return undefined;
  const next = skipSpaces(text, lineEnd + 1);
  const deeper = next - lineEnd - 1 > columnOf(source, from);
  return deeper && isCut(text, next) ? next : undefined;
};

/** The offset of the next #, kept between calls, since a long line may hold many values and no #. */
export interface Hashes {
  next: number;
}

const nextHash = (text: string, hashes: Hashes, from: number): number => {
  if (hashes.next < from) {
    const found = text.indexOf('#', from);
    hashes.next = found === -1 ? Infinity : found;
  }
  return hashes.next;
};

/** How many characters of a key, and of the spaces after it, are read at most. */
const longestKey = 1100;

/** The same where the # leaves nothing of the text: `title: #10-32`. */
export const cutWhole = ({ text }: Source, hashes: Hashes, from: number): number | undefined => {
  const hash = nextHash(text, hashes, from);
  if (hash - from > longestKey || !isCut(text, hash)) return undefined;
  return /^[^\n]*[:-] +$/.test(text.slice(from, hash)) ? hash : undefined;
};
