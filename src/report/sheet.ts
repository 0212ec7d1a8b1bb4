/**
 * A printed sheet as plain data: its contents, without their looks. A record is laid out once, as a sheet; `html.ts` and `text.ts` print
 * any sheet. Text in a sheet is raw: the printers escape it.
 */
export type Run =
  | string
  /** A value that was struck. It stays readable. */
  | { readonly struck: string }
  | { readonly strong: string }
  /** A hash, a key, an id. */
  | { readonly code: string }
  /** Word with its symbol; `state` also gives the colour. */
  | { readonly mark: string; readonly state: 'good' | 'bad' | 'open' };

export type Runs = readonly Run[];

export type Block =
  | { readonly kind: 'heading'; readonly level: 1 | 2 | 3; readonly text: string }
  | { readonly kind: 'text'; readonly runs: Runs; readonly tone?: 'warning' }
  | { readonly kind: 'facts'; readonly rows: readonly Fact[] }
  | { readonly kind: 'table'; readonly head: readonly string[]; readonly rows: readonly (readonly Runs[])[] }
  | { readonly kind: 'list'; readonly items: readonly Runs[] }
  /** Lines to be typed as they stand: never wrapped. */
  | { readonly kind: 'verbatim'; readonly lines: readonly string[] }
  /** In larger print: to be read at arm's length, or over a telephone. */
  | { readonly kind: 'large'; readonly blocks: readonly Block[] };

type Fact = readonly [label: string, runs: Runs];

export interface Sheet {
  readonly title: string;
  readonly blocks: readonly Block[];
}

export const heading = (level: 1 | 2 | 3, text: string): Block => ({ kind: 'heading', level, text });

/** What belongs under one heading of level 2; nothing where there is nothing in it. */
export const section = (title: string, blocks: readonly Block[]): readonly Block[] =>
  blocks.length === 0 ? [] : [heading(2, title), ...blocks];

export const paragraph = (...runs: Run[]): Block => ({ kind: 'text', runs });

export const warning = (...runs: Run[]): Block => ({ kind: 'text', runs, tone: 'warning' });

/** Facts, those without a value left out; nothing where none is left. */
export const facts = (...rows: readonly (readonly [string, Runs | string | undefined])[]): readonly Block[] => {
  const there = rows.flatMap(([label, value]): readonly Fact[] =>
    value === undefined || value.length === 0 ? [] : [[label, typeof value === 'string' ? [value] : value]],
  );
  return there.length > 0 ? [{ kind: 'facts', rows: there }] : [];
};

/** A table, without the columns in which no row has anything; nothing where there is no row. */
export const table = (head: readonly string[], rows: readonly (readonly Runs[])[]): readonly Block[] => {
  if (rows.length === 0) return [];
  const used = head.map((_, column) => rows.some((row) => (row[column] ?? []).length > 0));
  return [
    {
      kind: 'table',
      head: head.filter((_, column) => used[column]),
      rows: rows.map((row) => head.flatMap((_, column) => (used[column] ? [row[column] ?? []] : []))),
    },
  ];
};

export const list = (items: readonly (Runs | string)[]): readonly Block[] =>
  items.length === 0 ? [] : [{ kind: 'list', items: items.map((item) => (typeof item === 'string' ? [item] : item)) }];

/** Runs with a separator between them, absent ones left out. */
export const joined = (parts: readonly (Runs | string | undefined)[], separator = ', '): Runs =>
  parts
    .filter((part): part is Runs | string => part !== undefined && part.length > 0)
    .flatMap((part, index) => [...(index > 0 ? [separator] : []), ...(typeof part === 'string' ? [part] : part)]);

/** The text of a run alone. What was struck is followed by a word that says so. */
export const runText = (run: Run): string => {
  if (typeof run === 'string') return run;
  if ('struck' in run) return `${run.struck} (struck)`;
  if ('strong' in run) return run.strong;
  return 'code' in run ? run.code : run.mark;
};

/** What a printer makes of each kind of block. */
export type Printers<T> = { readonly [Kind in Block['kind']]: (one: Extract<Block, { kind: Kind }>) => T };

export const printWith = <T>(printers: Printers<T>, one: Block): T => (printers[one.kind] as (block: Block) => T)(one);
