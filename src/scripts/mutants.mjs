import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

/** Bundles tests/mutants, which is TypeScript, and runs it with the packages of this folder. */
const root = fileURLToPath(new URL('../..', import.meta.url));
const outdir = join(root, 'dist/mutants');
await build({
  entryPoints: ['run', 'left-out'].map((name) => join(root, `tests/mutants/${name}.ts`)),
  outdir,
  outExtension: { '.js': '.mjs' },
  bundle: true,
  platform: 'node',
  format: 'esm',
  packages: 'external',
});
process.chdir(root);
await import(pathToFileURL(join(outdir, 'run.mjs')).href);
