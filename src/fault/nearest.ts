/** How many single-character changes, or swaps of neighbours, turn one word into the other. */
const distance = (a: string, b: string): number => {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const change = (last[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let least = Math.min(change, (last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, (before[j - 2] ?? 0) + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? 0;
};

/** The known word that was most likely meant, or `undefined` where none is similar enough. */
export const suggest = (word: string, known: Iterable<string>): string | undefined => {
  const typed = word.toLowerCase();
  let best: string | undefined;
  let least = Math.max(1, Math.floor(word.length / 3)) + 1;
  for (const candidate of known) {
    if (Math.abs(candidate.length - typed.length) >= least) continue;
    const found = distance(typed, candidate.toLowerCase());
    if (found < least) {
      best = candidate;
      least = found;
    }
  }
  return best;
};

/** True where one letter, or the order of two neighbours, makes the difference between two words. */
export const oneLetterApart = (one: string, other: string): boolean =>
  Math.abs(one.length - other.length) <= 1 && distance(one, other) === 1;
