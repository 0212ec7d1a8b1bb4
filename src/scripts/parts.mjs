import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

/*
 * The program is built in parts, each a file with a code cache of its own, because node's time to start grows with what it reads. The front
 * is what the entry imports statically: it reads the command line, and answers `status` from what is kept. Every module that it imports
 * with `import()` belongs to another part, which is read when the module is first needed. A part holds all that its modules need, so two
 * parts may hold the same module; what one gives to the other is plain data and functions.
 */

const root = fileURLToPath(new URL('../..', import.meta.url));

/** The bench is opened many times a day, so what draws it is apart from the other commands. */
const atBench = new Set(['src/commands/bench.ts', 'src/commands/start.ts']);

/** The part that a module belongs to which the front imports when it is needed. */
const partOf = (name) => (atBench.has(name) ? 'bench' : 'rest');

/**
 * An esbuild plugin for the front: an `import()` of a file gives the module of another part.
 * @param {Map<string, Set<string>>} parts takes the names of the modules by the name of the part
 */
export const partsApart = (parts) => ({
  name: 'parts',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^\./ }, ({ path, kind, importer }) => {
      if (kind !== 'dynamic-import') return undefined;
      const name = relative(root, join(dirname(importer), path));
      const part = partOf(name);
      parts.set(part, (parts.get(part) ?? new Set()).add(name));
      return { path: name, namespace: 'part', pluginData: part };
    });
    onLoad({ filter: /./, namespace: 'part' }, ({ path, pluginData }) => ({
      contents: `module.exports = __moduleIn(${JSON.stringify(pluginData)}, ${JSON.stringify(path)});`,
    }));
  },
});

/** The entry of a part: each module by its name, run when it is first asked for. */
export const entryOf = (names) => ({
  resolveDir: root,
  sourcefile: 'part.js',
  contents: [...names]
    .toSorted((a, b) => (a < b ? -1 : 1))
    .map((name) => `exports[${JSON.stringify(name)}] = () => require(${JSON.stringify(`./${name}`)});`)
    .join('\n'),
});
