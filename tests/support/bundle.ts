import { build } from 'esbuild';
import { fileURLToPath } from 'node:url';

/**
 * Bundles a program of the tests with its packages as they come, none of them changed, and runs in production as the real one does.
 * What the real build changes is measured, and compared, against this.
 */
export const bundleUnpatched = async (entry: string, outfile: string): Promise<void> => {
  await build({
    entryPoints: [entry],
    outfile,
    absWorkingDir: fileURLToPath(new URL('../..', import.meta.url)),
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    jsx: 'automatic',
    define: { 'process.env.NODE_ENV': '"production"' },
    banner: { js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);" },
    // Not installed, and asked for only by a developer's environment: any module will do.
    alias: { 'react-devtools-core': 'node:util' },
    logLevel: 'error',
  });
};
