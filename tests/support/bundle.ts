import { build } from 'esbuild';
import { fileURLToPath } from 'node:url';

/**
 * Bundles a program of the tests without any stand-in, for production as the real build does. The stand-ins of the real build are measured
 * and compared against this.
 */
export const bundlePackagesAsTheyCome = async (entry: string, outfile: string): Promise<void> => {
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
    // Not installed, and used only where the variable DEV is set: any module will do.
    alias: { 'react-devtools-core': 'node:util' },
    logLevel: 'error',
  });
};
