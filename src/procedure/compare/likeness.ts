/** Words that say nothing of what a text is about. */
const empty: ReadonlySet<string> = new Set([
  'and',
  'the',
  'for',
  'from',
  'with',
  'into',
  'onto',
  'this',
  'that',
  'each',
]);

/** What a text is about: its words of three letters and more, each once. */
export const tokensOf = (text: string): ReadonlySet<string> =>
  new Set((text.toLowerCase().match(/[\p{L}\p{N}]{3,}/gu) ?? []).filter((word) => !empty.has(word)));

/** How much two texts have in common: from 0, no word, to 1, the same words (the coefficient of Dice). */
export const alike = (a: ReadonlySet<string>, b: ReadonlySet<string>): number => {
  if (a.size === 0 || b.size === 0) return 0;
  let common = 0;
  for (const token of a) if (b.has(token)) common += 1;
  return (2 * common) / (a.size + b.size);
};
