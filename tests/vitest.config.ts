import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    testTimeout: 30_000,
    // Ink listens to no resize where it believes itself in CI: the tests of the screens are the same everywhere.
    env: { TZ: 'UTC', CI: 'false' },
  },
});
