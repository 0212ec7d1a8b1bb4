import { chmodSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { patchPackages } from './patches.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));

/**
 * Bundles one entry, with all that it needs, into one file that node runs by itself. What is reached only by a dynamic `import()` is in
 * the same file, and is run when it is first asked for.
 *
 * CommonJS, because it starts a little faster than a module does; so the entry may not await at its top level. White space stays, because
 * node prints the whole line of an uncaught error.
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
    minifySyntax: true,
    legalComments: 'none',
    define: {
      'process.env.NODE_ENV': '"production"',
      'import.meta.url': '__fileUrl',
      __VERSION__: JSON.stringify(version),
    },
    banner: { js: "#!/usr/bin/env node\nconst __fileUrl = require('node:url').pathToFileURL(__filename).href;" },
    metafile: true,
    logLevel: 'warning',
    plugins: [patchPackages],
  });
  chmodSync(outfile, 0o755);
};

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [entry = join(root, 'src/cli.ts'), outfile = join(root, 'dist/dryfit.js')] = process.argv.slice(2);
  mkdirSync(dirname(outfile), { recursive: true });
  // The package is of modules; the bundle is not one.
  writeFileSync(join(dirname(outfile), 'package.json'), '{ "type": "commonjs" }\n');
  await bundle(entry, outfile).catch(() => process.exit(1)); // esbuild has said why
}
