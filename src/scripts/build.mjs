import { createHash } from 'node:crypto';
import { chmodSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { makeCodeCache } from './code-cache.mjs';
import { segmenter, takeStandIns } from './stand-ins.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));

/**
 * Bundles one entry and all that it needs into one file, which node runs by itself. A module behind a dynamic `import()` is in the same
 * file, and runs when it is first needed.
 *
 * The file is CommonJS, which starts a little faster than a module and can have a code cache. So no module may await at its top level.
 * White space stays, because node prints the whole line of an uncaught error.
 */
export const bundle = async (entry, outfile) => {
  await build({
    absWorkingDir: root,
    entryPoints: [entry],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    jsx: 'automatic',
    supported: { 'dynamic-import': false }, // node's own modules are required when needed: cheaper, and possible from a cached script
    minifySyntax: true,
    legalComments: 'none',
    define: {
      ...segmenter.define,
      'process.env.NODE_ENV': '"production"',
      'import.meta.url': '__fileUrl',
      __VERSION__: JSON.stringify(version),
    },
    inject: segmenter.inject,
    banner: { js: "#!/usr/bin/env node\nconst __fileUrl = require('node:url').pathToFileURL(__filename).href;" },
    metafile: true,
    logLevel: 'warning',
    plugins: [takeStandIns],
  });
  chmodSync(outfile, 0o755);
};

/**
 * The file that is started. It runs the bundle with V8's code cache, which saves a third of the time to start. Without the cache, or with
 * the cache of another node, everything works the same, only later. Both files carry the hash of the bundle, because V8 compares lengths only.
 */
const starter = (name) => `#!/usr/bin/env node
const { readFileSync } = require('node:fs');
const { join } = require('node:path');
const { Script } = require('node:vm');
const filename = join(__dirname, '${name}.js');
const read = (file) => {
  try {
    return readFileSync(file);
  } catch {
    return undefined;
  }
};
const script = new Script(readFileSync(filename, 'latin1'), { filename, cachedData: read(join(__dirname, '${name}.cache')) });
script.runInThisContext()(exports, require, module, __filename, __dirname);
`;

/**
 * The text in ASCII, which node reads ten times as fast as text with other characters. esbuild leaves those only in patterns and comments,
 * where an escape means the same.
 */
const inAscii = (text) => {
  const found = /(?:\\|String\.raw`[^`]*)[^\x00-\x7f].*/.exec(text);
  if (found) throw new Error(`an escape would mean something else here; write the character as \\u: ${found[0]}`);
  return text.replace(/[^\x00-\x7f]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`);
};

/** The entry of the threads that check signatures. */
const worker = join(root, 'src/workshop/journal/signature-worker.ts');

/** Builds the program: `dryfit.js`, which is started, and beside it the bundle, its code cache, and the bundle for further threads. */
export const buildProgram = async (entry, folder) => {
  mkdirSync(folder, { recursive: true });
  // The project's own package.json says that its files are modules; the built ones are CommonJS.
  writeFileSync(join(folder, 'package.json'), '{ "type": "commonjs" }\n');
  const whole = join(folder, 'bundle.js');
  await bundle(entry, whole);
  const script = inAscii(readFileSync(whole, 'utf8')).replace(/^#!.*/, '');
  const text = `(function (exports, require, module, __filename, __dirname) {${script}\n})`;
  rmSync(whole);
  const name = `program-${createHash('sha256').update(text).digest('hex').slice(0, 12)}`;
  for (const old of readdirSync(folder)) {
    if (old.startsWith('program-') && !old.startsWith(name)) rmSync(join(folder, old));
  }
  writeFileSync(join(folder, `${name}.js`), text);
  await bundle(worker, join(folder, `${name}.worker.js`));
  const start = join(folder, 'dryfit.js');
  writeFileSync(start, starter(name), { mode: 0o755 });
  await makeCodeCache(start, join(folder, `${name}.js`), join(folder, `${name}.cache`));
};

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [entry = join(root, 'src/cli.ts'), folder = join(root, 'dist')] = process.argv.slice(2);
  await buildProgram(entry, folder).catch((error) => {
    if (!error.errors) throw error;
    process.exitCode = 1; // esbuild has said why
  });
}
