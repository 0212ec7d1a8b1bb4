import { expect } from 'vitest';

/**
 * What the tests import from `vitest` when they are run by `runner.ts`: the same `expect`, and a `describe` and `it` that put each test down
 * in a list. Tests are so loaded anew and run within a few milliseconds.
 */

type Act = (...values: readonly never[]) => unknown;
type Hooks = 'beforeAll' | 'afterAll' | 'beforeEach' | 'afterEach';

export interface Suite {
  readonly name: string;
  readonly within: Suite | undefined;
  readonly hooks: Readonly<Record<Hooks, Act[]>>;
}

export interface Test {
  readonly id: string;
  readonly file: string;
  readonly suite: Suite;
  readonly act: Act;
}

const every: Suite[] = [];

const suiteOf = (name: string, within?: Suite): Suite => {
  const made: Suite = { name, within, hooks: { beforeAll: [], afterAll: [], beforeEach: [], afterEach: [] } };
  every.push(made);
  return made;
};

let suite = suiteOf('');
let file = '';
let found: Test[] = [];
let ends: Act[] = [];
const opened = new Set<Suite>();

/** The tests of one file, in order. `load` evaluates it. */
export const testsOf = (name: string, load: () => unknown): readonly Test[] => {
  [suite, file, found] = [suiteOf(''), name, []];
  load();
  return found;
};

const pathOf = ({ name, within }: Suite): string => (within === undefined ? name : `${pathOf(within)} ${name}`);

/** A test may have its options before or behind its act. */
const actAmong = (rest: readonly unknown[]): Act =>
  rest.find((each): each is Act => typeof each === 'function') ?? ((): undefined => undefined);

const addTest = (name: string, ...rest: readonly unknown[]): void => {
  found.push({ id: `${file}#${found.length}${pathOf(suite)} ${name}`, file, suite, act: actAmong(rest) });
};

const addSuite = (name: string, ...rest: readonly unknown[]): void => {
  const outer = suite;
  suite = suiteOf(name, outer);
  actAmong(rest)();
  suite = outer;
};

type Add = (name: string, ...rest: readonly unknown[]) => void;

/** A row that is a list is handed on as several values, as vitest does it. */
const eachOf =
  (add: Add) =>
  (rows: readonly unknown[]) =>
  (name: string, ...rest: readonly unknown[]): void => {
    const act = actAmong(rest) as (...values: readonly unknown[]) => unknown;
    for (const row of rows) add(name, () => act(...(Array.isArray(row) ? (row as readonly unknown[]) : [row])));
  };

const withEach = (add: Add): Add & { readonly each: ReturnType<typeof eachOf> } =>
  Object.assign((...given: Parameters<Add>) => add(...given), { each: eachOf(add) });

export const it = withEach(addTest);
export const test = withEach(addTest);
export const describe = withEach(addSuite);

const hook =
  (name: Hooks) =>
  (act: Act): void => {
    suite.hooks[name].push(act);
  };

export const beforeAll = hook('beforeAll');
export const afterAll = hook('afterAll');
export const beforeEach = hook('beforeEach');
export const afterEach = hook('afterEach');

export const onTestFinished = (act: Act): void => {
  ends.push(act);
};

export { expect };

const suitesAround = (suite: Suite): readonly Suite[] =>
  suite.within === undefined ? [suite] : [...suitesAround(suite.within), suite];

const runHooks = async (suites: readonly Suite[], name: Hooks): Promise<void> => {
  for (const { hooks } of suites) for (const act of hooks[name]) await act();
};

const inside = async (suites: readonly Suite[], act: Act): Promise<void> => {
  try {
    await runHooks(suites, 'beforeEach');
    await act();
  } finally {
    const closing = ends.toReversed();
    ends = [];
    for (const end of closing) await end();
    await runHooks(suites.toReversed(), 'afterEach');
  }
};

/**
 * Runs tests of one file, one after the other. A suite is opened before its first test and closed at the end. `before` is called with each
 * test, `after` with its fault, if any, and says whether to go on.
 */
export const runTests = async (
  tests: readonly Test[],
  before: (test: Test) => void,
  after: (test: Test, fault: unknown) => boolean,
): Promise<void> => {
  for (const test of tests) {
    const suites = suitesAround(test.suite);
    let fault: unknown;
    before(test);
    try {
      const fresh = suites.filter((each) => !opened.has(each));
      for (const each of fresh) opened.add(each);
      await runHooks(fresh, 'beforeAll');
      await inside(suites, test.act);
    } catch (error) {
      fault = error ?? 'nothing was thrown with it';
    }
    if (!after(test, fault)) return;
  }
};

/**
 * Runs what files and suites said to do at their end, once all files are done: a file beside the tests is evaluated once for all of them, and
 * clears away what all of them use.
 */
export const endTests = async (): Promise<void> => {
  for (const { hooks } of every.toReversed()) for (const act of hooks.afterAll) await act();
};
