import { readFileSync } from 'node:fs';
import { builtinModules, createRequire } from 'node:module';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Script } from 'node:vm';
import { build, type Plugin } from 'esbuild';
import { quickerLaws } from './quicker-laws.ts';
import type * as standIn from './stand-in.ts';

/** What the bundle gives: the tests' `vitest`, and a function for each file of tests, which evaluates it. */
export interface Loaded {
  readonly standIn: typeof standIn;
  readonly files: Readonly<Record<string, () => unknown>>;
}

const shared = new Map<string, Readonly<Record<string, unknown>>>();

const isName = (text: string): boolean => /^[A-Za-z_$][\w$]*$/.test(text) && text !== 'default';

/** A package that is imported once, for all loadings: they take most of the time and have no changes in them. */
const packageSource = async (name: string): Promise<string> => {
  const module = (await import(name)) as Readonly<Record<string, unknown>>;
  shared.set(name, module);
  const names = Object.keys(module).filter(isName);
  return [
    `const module = sharedPackages.get(${JSON.stringify(name)});`,
    ...names.map((each) => `const $${each} = module.${each};`),
    `export { ${names.map((each) => `$${each} as ${each}`).join(', ')} };`,
    'export default module.default;',
  ].join('\n');
};

/** Each file keeps its own address, and laws try fewer cases. */
const ourSource = (path: string): string =>
  quickerLaws(readFileSync(path, 'utf8'), path)
    .replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href))
    .replaceAll('import.meta.dirname', JSON.stringify(resolve(path, '..')));

const isOurs = (path: string): boolean => /^\.{0,2}\//.test(path);
const isOfNode = (path: string): boolean => path.startsWith('node:') || builtinModules.includes(path);

const plugin = (standIn: string): Plugin => ({
  name: 'tests',
  setup: ({ onResolve, onLoad }) => {
    onResolve({ filter: /^vitest$/ }, ({ importer }) =>
      importer === standIn ? { path: 'vitest', namespace: 'package' } : { path: standIn },
    );
    onResolve({ filter: /^[^./]/ }, ({ path }) =>
      isOurs(path) || isOfNode(path) ? undefined : { path, namespace: 'package' },
    );
    onLoad({ filter: /.*/, namespace: 'package' }, async ({ path }) => ({ contents: await packageSource(path) }));
    onLoad({ filter: /\.tsx?$/ }, ({ path }) => ({
      contents: ourSource(path),
      loader: path.endsWith('x') ? 'tsx' : 'ts',
    }));
  },
});

/** `vitest` looks whether it runs in one of its own workers; its `expect` needs none. */
const allowExpect = (): void => {
  Object.assign(globalThis, { __vitest_worker__: { config: {}, environment: { name: 'node' }, providedContext: {} } });
};

/**
 * Bundles the tests with the code that they test, so that all of it can be evaluated anew in some milliseconds: nothing that one change left
 * in memory meets the next.
 */
export const bundleTests = async (tests: readonly string[], standIn: string): Promise<() => Loaded> => {
  allowExpect();
  const list = tests.map((file) => `${JSON.stringify(file)}: () => require(${JSON.stringify(`./${file}`)})`);
  const { outputFiles } = await build({
    stdin: {
      contents: `require('./tests/support/seed.ts'); exports.standIn = require(${JSON.stringify(standIn)}); exports.files = { ${list.join(',\n')} };`,
      resolveDir: process.cwd(),
    },
    bundle: true,
    write: false,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    jsx: 'automatic',
    logLevel: 'error',
    plugins: [plugin(standIn)],
  });
  const script = new Script(`(function (require, exports, module, sharedPackages) {${outputFiles[0]?.text ?? ''}\n})`, {
    filename: 'tests.cjs',
  });
  const evaluate = script.runInThisContext() as (...given: readonly unknown[]) => void;
  const require = createRequire(resolve('tests.cjs'));
  return () => {
    const module = { exports: {} };
    evaluate(require, module.exports, module, shared);
    return module.exports as Loaded;
  };
};
