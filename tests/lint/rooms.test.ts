import { mkdtempSync, mkdirSync, rmSync, writeFileSync, cpSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { spawnSync } from 'node:child_process';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const planted = mkdtempSync(join(tmpdir(), 'dryfit-rooms-'));

interface Cruised {
  readonly summary: {
    readonly totalCruised: number;
    readonly violations: readonly { readonly from: string; readonly rule: { readonly name: string } }[];
  };
}

const cruise = (folder: string): Cruised => {
  const run = spawnSync(
    process.execPath,
    [
      join(root, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs'),
      'src',
      '--config',
      '.dependency-cruiser.cjs',
      '--output-type',
      'json',
    ],
    { cwd: folder, encoding: 'utf8', maxBuffer: 64 * 1024 * 1024 },
  );
  return JSON.parse(run.stdout) as Cruised;
};

/** A tree with one file a room, and one import that goes up. */
const plant = (from: string, to: string): readonly string[] => {
  const folder = join(planted, `${from}-${to}`);
  for (const room of [from, to]) mkdirSync(join(folder, 'src', room), { recursive: true });
  cpSync(join(root, '.dependency-cruiser.cjs'), join(folder, '.dependency-cruiser.cjs'));
  cpSync(join(root, 'tsconfig.json'), join(folder, 'tsconfig.json'));
  writeFileSync(join(folder, 'src', to, 'high.ts'), 'export interface High { readonly a: 1 }\n');
  writeFileSync(
    join(folder, 'src', from, 'low.ts'),
    `import type { High } from '../${to}/high.ts';\nexport type Low = High;\n`,
  );
  return cruise(folder).summary.violations.map((violation) => violation.rule.name);
};

const above = ['where', 'next', 'decide/ask', 'acts/read', 'evolve', 'evolve/draft'];

/** Step parts, each with an import of something that is built on the parts; half of them through a file that stands between. */
const plantParts = (): readonly string[] => {
  const folder = join(planted, 'parts');
  const write = (file: string, text: string): void => {
    mkdirSync(join(folder, 'src/job', file, '..'), { recursive: true });
    writeFileSync(join(folder, 'src/job', file), text);
  };
  above.forEach((to, index) => {
    write(`${to}.ts`, 'export interface High { readonly a: 1 }\n');
    write(`between-${index}.ts`, `export type { High } from './${to}.ts';\n`);
    write(`parts/direct-${index}.ts`, `import type { High } from '../${to}.ts';\nexport type Low = High;\n`);
    write(
      `parts/through-${index}.ts`,
      `import type { High } from '../between-${index}.ts';\nexport type Low = High;\n`,
    );
  });
  write('parts/plain.ts', "export type Plain = 'nothing above';\n");
  cpSync(join(root, '.dependency-cruiser.cjs'), join(folder, '.dependency-cruiser.cjs'));
  cpSync(join(root, 'tsconfig.json'), join(folder, 'tsconfig.json'));
  const { violations } = cruise(folder).summary;
  return violations.filter(({ rule }) => rule.name === 'parts-are-facts').map(({ from }) => from);
};

afterAll(() => {
  rmSync(planted, { recursive: true, force: true });
});

describe('the check of the rooms', () => {
  it('sees the whole of src, and finds every import going downwards', () => {
    const { summary } = cruise(root);
    expect(summary.totalCruised).toBeGreaterThan(100);
    expect(summary.violations).toEqual([]);
  });

  it.each([
    ['quantity', 'trade'],
    ['job', 'build'],
    ['signing', 'store'],
    ['workshop', 'commands'],
    ['terminal', 'bench'],
  ])('a type-only import from %s up to %s is found', (from, to) => {
    expect(plant(from, to)).toContain(`${from}-imports-downwards`);
  });

  it('finds a step part that needs what is built on the parts, at first or second hand', () => {
    const wanted = above.flatMap((_, index) => [`direct-${index}`, `through-${index}`]);
    expect([...new Set(plantParts())].toSorted()).toEqual(wanted.map((name) => `src/job/parts/${name}.ts`).toSorted());
  });
});
