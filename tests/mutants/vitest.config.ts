import type { RunnerTestFile } from 'vitest';
import { defineConfig } from 'vitest/config';
import type { Reporter } from 'vitest/node';
import usual from '../vitest.config.ts';

/**
 * A test file that a changed module keeps from loading has no tests, and the mutation tester would count it as passed. It gets one that
 * failed.
 */
const unloadable: Reporter = {
  onTestModuleEnd(module) {
    const { task } = module as unknown as { task: RunnerTestFile };
    const errors = task.result?.errors ?? [];
    if (task.tasks.length > 0 || errors.length === 0) return;
    const failed = {
      id: `${task.id}_load`,
      type: 'test',
      mode: 'run',
      name: 'loads',
      suite: task,
      file: task,
      meta: {},
    };
    task.tasks.push({ ...failed, result: { state: 'fail', errors } } as never);
  },
};

/**
 * Each change waits for the laws. So those that try more cases than fast-check does by itself try a tenth of them, and texts are drawn from
 * the whole of Unicode by written letter, because fast-check takes more than a second to lay out all its code points. A score may so be too
 * low, never too high.
 */
const quickerLaws = {
  name: 'quicker-laws',
  enforce: 'pre' as const,
  transform: (code: string, file: string): string | undefined =>
    /\.test\.tsx?$/.test(file)
      ? code
          .replace(/\{ numRuns: (.+) \}/g, '{ numRuns: Math.ceil(($1) / 10) }')
          .replaceAll("{ unit: 'binary'", "{ unit: 'grapheme'")
      : undefined,
};

const include = JSON.parse(process.env['MUTANTS_TESTS'] ?? '[]') as string[];

/** `npm run mutants` runs these tests. */
export default defineConfig({
  plugins: [quickerLaws],
  test: { ...usual.test, include, reporters: [unloadable], globalSetup: [] },
});
