import { build } from 'esbuild';
import { fileURLToPath } from 'node:url';

/**
 * Bundles a test's program for production, as the real build does, but without stand-ins for packages. The stand-ins of the real build are
 * measured against and compared with this bundle.
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
    // This package is not installed, and is used only where the variable DEV is set, so any module will do.
    alias: { 'react-devtools-core': 'node:util' },
    logLevel: 'error',
  });
};
