import { diffArrays } from 'diff/lib/diff/array.js';

/** A run of text that both have, or that only one has. */
export interface WordRun {
  readonly in: 'both' | 'old' | 'new';
  readonly text: string;
}

const split = (text: string): string[] => text.match(/\S+/g) ?? [];

/** Texts that differ by more words than this are shown whole, one after the other: the time to compare them grows with the square of it. */
const mostChangedWords = 2000;

/**
 * The words of two texts as runs, what went before what came in its place. The runs in `both` and `new`, joined by spaces, are the new text;
 * those in `both` and `old` the old one. How many spaces stand between words does not count.
 */
export const compareWords = (before: string, after: string): readonly WordRun[] => {
  const [old, now] = [split(before), split(after)];
  const runs = diffArrays(old, now, { maxEditLength: mostChangedWords });
  if (runs === undefined)
    return [
      { in: 'old', text: old.join(' ') },
      { in: 'new', text: now.join(' ') },
    ];
  return runs.map(({ removed, added, value }) => ({
    in: removed ? 'old' : added ? 'new' : 'both',
    text: value.join(' '),
  }));
};
