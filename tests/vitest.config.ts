import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    setupFiles: 'tests/support/seed.ts',
    globalSetup: 'tests/support/outside-programs.ts',
    // The longest test takes six seconds on a machine of its own. These limits are for one that is busy with other work as well.
    testTimeout: 180_000,
    hookTimeout: 180_000,
    // All cores: by itself vitest leaves one free, which on a machine of two is half.
    maxWorkers: '100%',
    // A missing golden file fails everywhere. `vitest --update` writes it.
    update: 'none',
    // Ink listens to no resize where it believes itself in CI: the tests of the screens are the same everywhere.
    env: { TZ: 'UTC', CI: 'false' },
  },
});
