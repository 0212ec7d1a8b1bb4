import type { Plugin } from 'esbuild';

export const takeStandIns: Plugin;
