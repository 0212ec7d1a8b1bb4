import { createHash } from 'node:crypto';

/** A place in a file: lines and columns from 0. */
export interface Span {
  readonly start: { readonly line: number; readonly column: number };
  readonly end: { readonly line: number; readonly column: number };
}

/** The text of a file from the one place to the other. */
export const textAt = (source: string, { start, end }: Span): string => {
  const lines = source.split('\n').slice(start.line, end.line + 1);
  const last = lines.length - 1;
  lines[last] = (lines[last] ?? '').slice(0, end.column);
  lines[0] = (lines[0] ?? '').slice(start.column);
  return lines.join('\n');
};

/** Blanks and line ends as one blank, so that a change keeps its name when its lines are laid out anew. */
export const onOneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();

/**
 * What a change is called: its file, what is there and what is put in its place. The line is no part of it, so it is the same change after
 * lines above it were added.
 */
export const nameOf = (file: string, mutator: string, was: string, becomes: string): string =>
  [file, mutator, onOneLine(was), onOneLine(becomes)].join(' | ');

/** One change in `every`, by its name alone: the same ones each time and on every machine. */
export const isInSample = (name: string, every: number): boolean =>
  createHash('sha256').update(name).digest().readUInt32BE() % every === 0;

/**
 * Whether an emptied text is wording: a sentence, or two words of one, which a person reads and no rule does. Names, codes, units, keys and
 * formats are not.
 */
export const isWording = (mutator: string, was: string): boolean =>
  mutator === 'StringLiteral' && /[a-z]{2,}[,.:;’)]? \(?[a-z]+(?![a-z=])/.test(was.replace(/\$\{[^}]*\}/g, 'xx'));

/** Why a change is not tried. */
export const leftOut = { wording: 'wording', sample: 'not in the sample', found: 'found already' } as const;
