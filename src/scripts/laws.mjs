import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/**
 * Tries every law (the tests that draw their cases by chance) with new cases: `npm run laws`, or `npm run laws -- 20` for twenty numbers. A
 * number that breaks one is printed; `SEED=NUMBER npx vitest run --config tests/vitest.config.ts FILE` tries the same cases again.
 */
const times = Number(process.argv[2] ?? 5);
const files = readdirSync('tests', { recursive: true })
  .map((name) => join('tests', String(name)))
  .filter((name) => /\.test\.tsx?$/.test(name) && /\bfc\.(assert|check)\(/.test(readFileSync(name, 'utf8')));

const broken = [];
for (let turn = 0; turn < times; turn += 1) {
  const seed = String(Math.floor(Math.random() * 2 ** 31));
  process.stdout.write(`\nSEED=${seed}: ${files.length} files\n`);
  const args = ['vitest', 'run', '--config', 'tests/vitest.config.ts', '--reporter=dot', ...files];
  const { status } = spawnSync('npx', args, { stdio: 'inherit', env: { ...process.env, SEED: seed } });
  if (status !== 0) broken.push(seed);
}
process.stdout.write(broken.length === 0 ? '\nEvery law holds.\n' : `\nBroken with SEED=${broken.join(', SEED=')}\n`);
process.exitCode = broken.length === 0 ? 0 : 1;
