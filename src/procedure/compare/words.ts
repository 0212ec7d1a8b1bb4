/** A run of text that both have, or that only one has. */
export interface WordRun {
  readonly in: 'both' | 'old' | 'new';
  readonly text: string;
}

const split = (text: string): readonly string[] => text.match(/\S+/g) ?? [];

/** Beyond this many words on either side the middle is told as one piece: comparing takes their product. */
const mostWords = 1000;

/** Lengths of the longest common runs of the rests of both texts. */
const lengths = (a: readonly string[], b: readonly string[]): readonly Uint16Array[] => {
  const table = Array.from({ length: a.length + 1 }, () => new Uint16Array(b.length + 1));
  for (let i = a.length - 1; i >= 0; i -= 1)
    for (let j = b.length - 1; j >= 0; j -= 1)
      table[i]![j] = a[i] === b[j] ? table[i + 1]![j + 1]! + 1 : Math.max(table[i + 1]![j]!, table[i]![j + 1]!);
  return table;
};

const middleRuns = (a: readonly string[], b: readonly string[]): readonly WordRun[] => {
  if (a.length > mostWords || b.length > mostWords)
    return [
      { in: 'old', text: a.join(' ') },
      { in: 'new', text: b.join(' ') },
    ];
  const table = lengths(a, b);
  const runs: WordRun[] = [];
  let [i, j] = [0, 0];
  while (i < a.length || j < b.length) {
    if (i < a.length && j < b.length && a[i] === b[j]) {
      runs.push({ in: 'both', text: b[j]! });
      i += 1;
      j += 1;
    } else if (i < a.length && (j === b.length || table[i + 1]![j]! >= table[i]![j + 1]!)) {
      runs.push({ in: 'old', text: a[i]! });
      i += 1;
    } else {
      runs.push({ in: 'new', text: b[j]! });
      j += 1;
    }
  }
  return runs;
};

/** Neighbours of one kind as one run; what went before what came, wherever they lie together. */
const joined = (runs: readonly WordRun[]): readonly WordRun[] => {
  const out: WordRun[] = [];
  let [gone, come]: [string[], string[]] = [[], []];
  const flush = (): void => {
    if (gone.length > 0) out.push({ in: 'old', text: gone.join(' ') });
    if (come.length > 0) out.push({ in: 'new', text: come.join(' ') });
    [gone, come] = [[], []];
  };
  for (const run of runs) {
    if (run.in === 'old') gone.push(run.text);
    else if (run.in === 'new') come.push(run.text);
    else {
      flush();
      const last = out.at(-1);
      if (last?.in === 'both') out[out.length - 1] = { in: 'both', text: `${last.text} ${run.text}` };
      else out.push(run);
    }
  }
  flush();
  return out;
};

/** Which words went and which came. The runs in `both` and `new`, with spaces between, are the new text's words; spaces do not count. */
export const compareWords = (before: string, after: string): readonly WordRun[] => {
  const [a, b] = [split(before), split(after)];
  let start = 0;
  while (start < a.length && start < b.length && a[start] === b[start]) start += 1;
  let end = 0;
  while (end < a.length - start && end < b.length - start && a[a.length - 1 - end] === b[b.length - 1 - end]) end += 1;
  const both = (text: readonly string[]): readonly WordRun[] =>
    text.length === 0 ? [] : [{ in: 'both', text: text.join(' ') }];
  return joined([
    ...both(b.slice(0, start)),
    ...middleRuns(a.slice(start, a.length - end), b.slice(start, b.length - end)),
    ...both(b.slice(b.length - end)),
  ]);
};
