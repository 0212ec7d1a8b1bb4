import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

/** Runs make.ts, which is TypeScript, with the project's packages. */
const root = fileURLToPath(new URL('../..', import.meta.url));
const outfile = join(root, 'dist/states/make.mjs');
await build({
  entryPoints: [join(root, 'tests/states/make.ts')],
  outfile,
  bundle: true,
  platform: 'node',
  format: 'esm',
  jsx: 'automatic',
  packages: 'external',
});
process.argv.splice(2, 0, root);
await import(pathToFileURL(outfile).href);
