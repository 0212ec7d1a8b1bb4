import { readFileSync } from 'node:fs';
import { relative } from 'node:path';
import { leftOut, nameOf, onOneLine, textAt, type Span } from './mutant.ts';

/** What became of one change. */
export interface Tried {
  readonly name: string;
  readonly file: string;
  readonly line: number;
  readonly mutator: string;
  readonly was: string;
  readonly becomes: string;
  readonly status: string;
  /** Why it was not tried. */
  readonly reason?: string | undefined;
}

/** What the mutation tester says of a change; its lines and columns count from 1. */
export interface Result {
  readonly fileName: string;
  readonly mutatorName: string;
  readonly location: Span;
  readonly replacement?: string | undefined;
  readonly status: string;
  readonly statusReason?: string | undefined;
}

const fromZero = ({ start, end }: Span): Span => ({
  start: { line: start.line - 1, column: start.column - 1 },
  end: { line: end.line - 1, column: end.column - 1 },
});

/** The source is read once, when the first change of it is known, so that the file may be worked on during a long run. */
const sources = new Map<string, string>();

export const sourceOf = (file: string): string => {
  const source = sources.get(file) ?? readFileSync(file, 'utf8');
  sources.set(file, source);
  return source;
};

export const triedOf = ({ fileName, mutatorName, location, replacement = '', status, statusReason }: Result): Tried => {
  const file = relative(process.cwd(), fileName);
  const was = textAt(sourceOf(file), fromZero(location));
  return {
    name: nameOf(file, mutatorName, was, replacement),
    file,
    line: location.start.line,
    mutator: mutatorName,
    was,
    becomes: replacement,
    status,
    reason: Object.values<string | undefined>(leftOut).includes(statusReason) ? statusReason : undefined,
  };
};

/**
 * A change under which the tests do not end is found, and so is one under which a test file cannot be loaded (`RuntimeError`).
 */
const columns = [
  ['killed', ['Killed', 'RuntimeError']],
  ['timeouts', ['Timeout']],
  ['survived', ['Survived']],
  ['no test', ['NoCoverage']],
] as const;

const count = (results: readonly Tried[], statuses: readonly string[]): number =>
  results.filter(({ status }) => statuses.includes(status)).length;

const rowOf = (name: string, results: readonly Tried[]): readonly string[] => {
  const counts = columns.map(([, statuses]) => count(results, statuses));
  const tried = counts.reduce((sum, each) => sum + each, 0);
  const found = results.filter(isFound).length;
  const score = tried === 0 ? '' : `${((100 * found) / tried).toFixed(1)} %`;
  return [name, ...[tried, ...counts].map(String), score];
};

const tableLines = (rows: readonly (readonly string[])[]): readonly string[] => {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const cell = (text: string, column: number): string =>
    column === 0 ? text.padEnd(widths[0] ?? 0) : text.padStart(widths[column] ?? 0);
  return rows.map((row) => row.map(cell).join('  '));
};

const short = (text: string): string => {
  const line = onOneLine(text);
  return line.length <= 90 ? line : `${line.slice(0, 60)} … ${line.slice(-27)}`;
};

/** The first place at which two texts differ, with a little before it, so that a small change in a long line is seen. */
const around = (text: string, other: string): string => {
  const [one, two] = [onOneLine(text), onOneLine(other)];
  if (one.length <= 90) return one;
  const at = [...one].findIndex((letter, index) => letter !== two[index]);
  return at < 60 ? short(one) : `… ${one.slice(at - 40, at + 50)}`;
};

const isLeft = ({ status }: Tried): boolean => status === 'Survived' || status === 'NoCoverage';

export const isFound = ({ status }: Tried): boolean => ['Killed', 'RuntimeError', 'Timeout'].includes(status);

/** Each change that no test found, with file and line, then the scores by file. */
export const scoreLines = (room: string, results: readonly Tried[]): readonly string[] => {
  const left = results.filter(isLeft).flatMap(({ file, line, mutator, was, becomes, status }) => {
    const where = `${file}:${line}  ${mutator}${status === 'NoCoverage' ? ', no test comes here' : ''}`;
    return [where, `  - ${around(was, becomes)}`, `  + ${around(becomes, was)}`];
  });
  const files = [...new Set(results.map(({ file }) => file))].toSorted();
  const rows = files.map((file) =>
    rowOf(
      file,
      results.filter((each) => each.file === file),
    ),
  );
  const untried = (reason: string): number => results.filter((each) => each.reason === reason).length;
  return [
    ...left,
    ...tableLines([['', 'mutants', ...columns.map(([name]) => name), 'score'], ...rows, rowOf(room, results)]),
    `not tried: ${untried(leftOut.wording)} of wording, ${untried(leftOut.sample)} outside the sample`,
  ];
};
