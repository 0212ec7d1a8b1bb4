/*
 * Hostile YAML by grammar production: every class of token, repeated, nested, alternated and put after each other. A recipe is a short
 * description that can be changed a little, as a search by hill climbing needs, and that gives a text of any size.
 */

/** The classes of tokens. `%n` in a piece is a running number, so that ids and keys differ. */
const classes: Readonly<Record<string, readonly string[]>> = {
  texts: ['a', 'k%n: v', 'k: v', '""', "''", '"a"', "'a'", '"a\\n"', '"\\x"', '"\\u202e"', '"a', "'a", 'a "b" c'],
  flow: ['[', ']', '{', '}', ',', ', ', '[]', '{}', '"",', '[],', '{a: b}, ', 'a, ', 'a: , ', '[a]: '],
  signs: [':', ': ', '- ', '-', '? '],
  lineEnds: ['\n', '\n ', '\n  ', '\n    ', '\n\n', ' ', '        ', '\t', '\r\n', '\r', '\n\t', '\n  \n'],
  comments: ['#', ' #', '#c\n', '  #c\n', ' #c', '#10-32 ', '\n#\n'],
  blocks: ['|\n ', '>\n ', '|+\n', '>2-\n  ', ' x\n', '\n x', '  x\n\n'],
  forbidden: ['&a ', '&a%n ', '*a ', '!t ', '!!str ', '!<x> ', '%YAML 1.2\n', '%\n', '<<: *a\n'],
  documents: ['---\n', '...\n', '\n--- '],
  characters: ['\ufeff', '\0', '\u001b', '\u2028', '\u202e', 'ü', '€', '😀', '\u0085'],
};
const tokens: readonly string[] = Object.values(classes).flat();

/** Lines that a procedure may hold, so that what dryfit does after YAML is searched too. */
const lines: readonly string[] = [
  '\n  - { step: s%n, title: T }',
  '\n  - step: s%n\n    title: T',
  '\n  - step: same\n    title: T',
  '\n    do: Fit it and drill it.',
  '\n    readings: [{ reading: r%n, ask: Gap, unit: mm, limits: at most 1 mm, source: m }]',
  '\n    sets: [f%n]\n    permanent: true',
  '\n    proves: [f%n]',
  '\n    relies-on: [f1, f2, f3]',
  '\n    covers: [area]',
  '\n    reaches: [area]',
  '\n    in-pot-life-of: s1',
  '\n    loose: [{ item: l%n, left: open, because: x, before: g }]',
  '\n    closes: [l%n]',
  '\n    steep: x',
  '\n    when: { reading: r1, is: at most 1 mm }',
];

const heads: readonly string[] = [
  '',
  'a: ',
  'a:\n',
  '- ',
  'a: [',
  'a: {',
  '"',
  "'",
  'a: |\n',
  '? ',
  'a:\n  b:\n    - ',
  '- a: b\n  c:\n    d: e\n',
];
const procedureHead = 'procedure: a\ntitle: A\nrevision: A\nsteps:';

/** A run of pieces, repeated or nested, with its share of the text. */
export interface Run {
  readonly way: 'repeat' | 'nest' | 'indent';
  readonly pieces: readonly string[];
  readonly share: number;
}

export interface Recipe {
  readonly head: string;
  readonly runs: readonly Run[];
}

type Chance = () => number;

const pick = <T>(chance: Chance, from: readonly T[]): T => from[Math.floor(chance() * from.length)]!;

const pieceOf = (chance: Chance, isProcedure: boolean): string =>
  pick(chance, isProcedure && chance() < 0.8 ? lines : tokens);

const runOf = (chance: Chance, isProcedure: boolean): Run => ({
  way: chance() < 0.85 ? 'repeat' : pick(chance, ['nest', 'indent'] as const),
  pieces: Array.from({ length: 1 + Math.floor(chance() * chance() * 6) }, () => pieceOf(chance, isProcedure)),
  share: pick(chance, [1, 1, 1, 2, 4]),
});

export const randomRecipe = (chance: Chance): Recipe => {
  const isProcedure = chance() < 0.3;
  return {
    head: isProcedure ? procedureHead : pick(chance, heads),
    runs: Array.from({ length: 1 + Math.floor(chance() * 3) }, () => runOf(chance, isProcedure)),
  };
};

/** The same recipe with one thing changed. */
export const changed = (chance: Chance, { head, runs }: Recipe): Recipe => {
  const isProcedure = head === procedureHead;
  const at = Math.floor(chance() * runs.length);
  const { pieces, ...run } = runs[at]!;
  const spot = Math.floor(chance() * (pieces.length + 1));
  const ways: readonly (() => Recipe)[] = [
    () => ({ head, runs: runs.with(at, { ...run, pieces: pieces.toSpliced(spot, 1, pieceOf(chance, isProcedure)) }) }),
    () => ({ head, runs: runs.with(at, { ...run, pieces: pieces.toSpliced(spot, 0, pieceOf(chance, isProcedure)) }) }),
    () => ({ head, runs: pieces.length > 1 ? runs.with(at, { ...run, pieces: pieces.toSpliced(spot, 1) }) : runs }),
    () => ({ head, runs: runs.with(at, { ...run, pieces, share: pick(chance, [1, 2, 4, 8]) }) }),
    () => ({ head, runs: runs.toSpliced(at, 0, runOf(chance, isProcedure)).slice(0, 4) }),
    () => ({ head: isProcedure ? head : pick(chance, heads), runs }),
  ];
  return pick(chance, ways)();
};

const closers: Readonly<Record<string, string>> = { '[': ']', '{': '}', '"': '"', "'": "'" };
const mostColumns = 60;

const runText = ({ way, pieces }: Run, size: number): string => {
  const unit = pieces.join('');
  const times = Math.max(1, Math.floor(size / unit.length));
  if (way === 'indent')
    return Array.from({ length: times }, (_, index) => `\n${' '.repeat(index % mostColumns)}${unit}`)
      .join('')
      .slice(0, size);
  const close = [...unit]
    .map((sign) => closers[sign] ?? '')
    .toReversed()
    .join('');
  return way === 'nest' ? unit.repeat(times) + close.repeat(times) : unit.repeat(times);
};

/** The text of a recipe with about so many characters. */
export const textOf = ({ head, runs }: Recipe, size: number): string => {
  const shares = runs.reduce((sum, { share }) => sum + share, 0);
  const text = head + runs.map((run) => runText(run, (size * run.share) / shares)).join('');
  let number = 0;
  return text.replaceAll('%n', () => String((number += 1))).slice(0, size);
};

export const nameOf = ({ head, runs }: Recipe): string =>
  `${JSON.stringify(head)} ${runs.map(({ way, pieces, share }) => `${way} ${JSON.stringify(pieces)}×${share}`).join(' ')}`;
