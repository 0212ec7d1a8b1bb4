import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

/** Bundles tests/bench, which is TypeScript, and runs it with the packages of this folder. */
const root = fileURLToPath(new URL('../..', import.meta.url));
const outfile = join(root, 'dist/bench/run.mjs');
await build({
  entryPoints: [join(root, 'tests/bench/run.ts')],
  outfile,
  bundle: true,
  platform: 'node',
  format: 'esm',
  jsx: 'automatic',
  packages: 'external',
  external: ['*.mjs'],
});
process.argv.splice(2, 0, root);
await import(pathToFileURL(outfile).href);
