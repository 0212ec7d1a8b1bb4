import { diffArrays } from 'diff/lib/diff/array.js';

/** A run of text that both have, or that only one has. */
export interface WordRun {
  readonly in: 'both' | 'old' | 'new';
  readonly text: string;
}

const split = (text: string): string[] => text.match(/\S+/g) ?? [];

/** Two texts that differ by more words are shown one after the other: the time to find the least difference grows with its square. */
const mostChangedWords = 2000;

/**
 * Which words went and which came; what went stands before what came in its place. The runs in `both` and `new`, with spaces between, are the
 * new text's words; spaces do not count.
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
