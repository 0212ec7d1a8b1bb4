import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { makeCodeCaches } from './code-cache.mjs';
import { entryOf, partsApart } from './parts.mjs';
import { segmenter, takeStandIns } from './stand-ins.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));

/**
 * Bundles one entry and all that it needs into one file, which node runs by itself. A module behind a dynamic `import()` is in the same
 * file, and runs when it is first needed.
 *
 * The file is CommonJS, which starts a little faster than a module and can have a code cache. So no module may await at its top level.
 */
const bundled = async (entry, { plugins = [], ...more } = {}) => {
  const { outputFiles } = await build({
    absWorkingDir: root,
    ...(typeof entry === 'string' ? { entryPoints: [entry] } : { stdin: entry }),
    bundle: true,
    write: false,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    jsx: 'automatic',
    supported: { 'dynamic-import': false }, // node's own modules are required when needed: cheaper, and possible from a cached script
    minifySyntax: true,
    minifyWhitespace: true,
    lineLimit: 160, // because node prints the whole line of an uncaught error
    legalComments: 'none',
    define: {
      ...segmenter.define,
      'process.env.NODE_ENV': '"production"',
      'import.meta.url': '__fileUrl',
      __VERSION__: JSON.stringify(version),
    },
    inject: segmenter.inject,
    metafile: true,
    logLevel: 'warning',
    plugins: [...plugins, takeStandIns],
    ...more,
  });
  return outputFiles[0].text;
};

// The sources are modules, which are strict; a script is strict only where it begins by saying so.
const fileUrl = "'use strict';\nconst __fileUrl = require('node:url').pathToFileURL(__filename).href;";

/** Bundles one entry into a file that node runs by itself. */
export const bundle = async (entry, outfile) => {
  writeFileSync(outfile, await bundled(entry, { banner: { js: `#!/usr/bin/env node\n${fileUrl}` } }), { mode: 0o755 });
};

/**
 * The text in ASCII, which node reads ten times as fast as text with other characters. esbuild leaves those only in patterns and comments,
 * where an escape means the same.
 */
const inAscii = (text) => {
  const found = /(?:\\|String\.raw`[^`]*)[^\x00-\x7f].*/.exec(text);
  if (found) throw new Error(`an escape would mean something else here; write the character as \\u: ${found[0]}`);
  return text.replace(/[^\x00-\x7f]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`);
};

/** The text of a part, as a function that the starter calls. */
const partText = (text) =>
  `(function (exports, require, module, __filename, __dirname, __moduleIn) {\n${fileUrl}\n${inAscii(text).replace(/^#!.*/, '')}\n})`;

/** The texts of the program's parts by their names. */
const partsFrom = async (entry) => {
  const others = new Map();
  const texts = new Map([['front', partText(await bundled(entry, { plugins: [partsApart(others)] }))]]);
  for (const [part, names] of others) texts.set(part, partText(await bundled(entryOf(names))));
  return texts;
};

/** The entry of the threads that check signatures. */
const worker = join(root, 'src/workshop/journal/signature-worker.ts');

/**
 * Builds the program: `dryfit.js`, which is started, and beside it its parts, each with its code cache, and the bundle for further threads.
 * All carry the hash of the parts in their names, because V8 compares no more than the length of a text with its cache.
 */
export const buildProgram = async (entry, folder) => {
  mkdirSync(folder, { recursive: true });
  // The project's own package.json says that its files are modules; the built ones are CommonJS.
  writeFileSync(join(folder, 'package.json'), '{ "type": "commonjs" }\n');
  const parts = await partsFrom(entry);
  const name = `program-${createHash('sha256')
    .update([...parts.values()].join('\n'))
    .digest('hex')
    .slice(0, 12)}`;
  for (const old of readdirSync(folder)) {
    if (old.startsWith('program-') && !old.startsWith(name)) rmSync(join(folder, old));
  }
  for (const [part, text] of parts) writeFileSync(join(folder, `${name}.${part}.js`), text);
  await bundle(worker, join(folder, `${name}.worker.js`));
  const start = join(folder, 'dryfit.js');
  const starter = readFileSync(fileURLToPath(new URL('starter.cjs', import.meta.url)), 'utf8');
  writeFileSync(start, starter.replaceAll('__PROGRAM__', name), { mode: 0o755 });
  await makeCodeCaches(
    start,
    [...parts.keys()].map((part) => join(folder, `${name}.${part}.js`)),
  );
};

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [entry = join(root, 'src/cli.ts'), folder = join(root, 'dist')] = process.argv.slice(2);
  await buildProgram(entry, folder).catch((error) => {
    if (!error.errors) throw error;
    process.exitCode = 1; // esbuild has said why
  });
}
