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

/** From 0, nothing in common, to 1, the same words (the coefficient of Dice). */
export const alike = (a: ReadonlySet<string>, b: ReadonlySet<string>): number => {
  if (a.size === 0 || b.size === 0) return 0;
  let common = 0;
  for (const token of a) if (b.has(token)) common += 1;
  return (2 * common) / (a.size + b.size);
};

/** A token that so many have tells none of them apart, and would make the work grow with the square. */
const mostWithToken = 64;

export interface Likely {
  readonly old: number;
  readonly new: number;
  readonly score: number;
}

/**
 * Pairs, by their places, that are likely the same thing under another name: best first, each thing in one pair at most.
 * Only pairs that share a word not everybody has are looked at, so the work grows about as the lists do.
 */
export const likelyPairs = (
  before: readonly ReadonlySet<string>[],
  after: readonly ReadonlySet<string>[],
  score: (old: number, now: number) => number,
  atLeast: number,
): readonly Likely[] => {
  const holders = new Map<string, number[]>();
  after.forEach((tokens, place) => {
    for (const token of tokens) {
      const places = holders.get(token);
      if (places === undefined) holders.set(token, [place]);
      else places.push(place);
    }
  });
  const found = before.flatMap((tokens, old) => {
    const candidates = new Set<number>();
    for (const token of tokens) {
      const places = holders.get(token) ?? [];
      if (places.length <= mostWithToken) for (const place of places) candidates.add(place);
    }
    return [...candidates].map((now) => ({ old, new: now, score: score(old, now) }));
  });
  const [oldTaken, newTaken] = [new Set<number>(), new Set<number>()];
  return found
    .filter((pair) => pair.score >= atLeast)
    .toSorted((a, b) => b.score - a.score || a.old - b.old || a.new - b.new)
    .filter((pair) => {
      if (oldTaken.has(pair.old) || newTaken.has(pair.new)) return false;
      oldTaken.add(pair.old);
      newTaken.add(pair.new);
      return true;
    });
};
