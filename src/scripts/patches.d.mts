import type { Plugin } from 'esbuild';

export const plain: string;
export const patchPackages: Plugin;
