import childProcess from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const folder = fileURLToPath(new URL('stand-ins', import.meta.url));
const packages = fileURLToPath(new URL('../../node_modules', import.meta.url));

/**
 * The modules that the bundle takes from stand-ins/ in place of those of a package, whole. None of them changes what is drawn. `worth` is
 * how much a figure of `npm run bench` grows without it (medians of paired runs), or why the program cannot do without it.
 */
const standIns = [
  { module: 'yoga-layout', by: 'yoga-layout.ts', worth: 'needed: no await at load time' },
  { module: './utils.js', of: 'ink/build', by: 'no-devtools.ts', worth: 'needed: no await at load time' },
  { module: 'is-in-ci', by: 'not-in-ci.ts', worth: 'needed: a resize is drawn with CI set, too' },
  { module: './measure-text.js', of: 'ink/build', by: 'measure-text.ts', worth: 'memory: 156 bytes a frame' },
  { module: './wrap-text.js', of: 'ink/build', by: 'wrap-text.ts', worth: 'memory: every text that is ever cut' },
  { module: '@alcalzone/ansi-tokenize', by: 'ansi-tokenize.ts', worth: 'key to paint 50 %, first frame 17 %' },
  { module: 'slice-ansi', by: 'slice-ansi.ts', worth: 'key to paint 29 %' },
  { module: 'string-width', by: 'string-width.ts', worth: 'key to paint 15 %, first frame 11 %' },
];

/** Replaces `Intl.Segmenter` in all that is bundled. Worth: first frame 7 %, key to paint 6 %. */
export const segmenter = {
  define: { 'Intl.Segmenter': 'LazySegmenter' },
  inject: [join(folder, 'segmenter.ts')],
};

/**
 * node's module of child processes as one that is loaded when a function of it is first asked for: few commands start another program, and
 * loading it takes a twentieth of the time to the first frame.
 */
const childProcessLater = `module.exports = { ${Object.keys(childProcess)
  .map((name) => `get ${name}() { return require('node:child_process').${name}; }`)
  .join(', ')} };`;

const standInFor = (path, importer) =>
  standIns.find(({ module, of }) => module === path && (!of || dirname(importer).endsWith(join('node_modules', of))));

/** A module in which no call of `isDev` is left: the bundler has written its answer in place of each. */
const withoutDevtools = async (path) => {
  const alone = {
    name: 'alone',
    setup: ({ onResolve }) =>
      onResolve({ filter: /./ }, ({ path: wanted, kind }) => {
        if (kind === 'entry-point') return undefined;
        return wanted === './utils.js' ? { path: join(folder, 'no-devtools.ts') } : { path: wanted, external: true };
      }),
  };
  const options = { entryPoints: [path], bundle: true, format: 'esm', minifySyntax: true, write: false };
  const { outputFiles } = await build({ ...options, plugins: [alone] });
  return outputFiles[0].text;
};

/** An esbuild plugin that puts the stand-ins into place, and stops the build when one of them was never asked for. */
export const takeStandIns = {
  name: 'stand-ins',
  setup({ onStart, onResolve, onLoad, onEnd, resolve }) {
    const taken = new Set();
    onStart(() => taken.clear());
    onResolve({ filter: /./, namespace: 'file' }, ({ path, importer, kind, pluginData }) => {
      if (dirname(importer) === folder) {
        if (path.startsWith('.') || pluginData === 'real') return undefined;
        // What a stand-in imports is the real package, in the version that ink has.
        return resolve(path, { resolveDir: join(packages, 'ink'), importer, kind, pluginData: 'real' });
      }
      const found = standInFor(path, importer);
      taken.add(found);
      return found && { path: join(folder, found.by) };
    });
    onResolve({ filter: /^(node:)?child_process$/ }, ({ path, namespace }) =>
      namespace === 'later' ? { path, external: true } : { path, namespace: 'later' },
    );
    onLoad({ filter: /./, namespace: 'later' }, () => ({ contents: childProcessLater }));
    onLoad({ filter: /[\\/]ink[\\/]build[\\/]reconciler\.js$/ }, async ({ path }) => ({
      contents: await withoutDevtools(path),
    }));
    onEnd(({ errors, metafile }) => {
      const bundled = Object.keys(metafile?.inputs ?? {}).some((input) => input.includes('node_modules/ink/'));
      if (errors.length > 0 || !bundled) return undefined;
      const missed = standIns.filter((standIn) => !taken.has(standIn));
      return {
        errors: missed.map(({ module, by }) => ({ text: `${module} is never imported: ${by} stands in for nothing` })),
      };
    });
  },
};
