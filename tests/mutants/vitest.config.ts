import type { RunnerTestFile } from 'vitest';
import { defineConfig } from 'vitest/config';
import type { Reporter } from 'vitest/node';
import usual from '../vitest.config.ts';
import { quickerLaws } from './quicker-laws.ts';

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

const laws = { name: 'quicker-laws', enforce: 'pre' as const, transform: quickerLaws };

const include = JSON.parse(process.env['MUTANTS_TESTS'] ?? '[]') as string[];

/** `npm run mutants` runs these tests. */
export default defineConfig({
  plugins: [laws],
  test: { ...usual.test, include, reporters: [unloadable], globalSetup: [], isolate: false },
});
