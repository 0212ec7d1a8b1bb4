import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, relative, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');

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

/** Imports of a type alone that the rules forbid, each with its rule. */
const forbidden = [
  ['quantity', 'trade', 'quantity-imports-downwards'],
  ['job', 'aircraft', 'job-imports-downwards'],
  ['signing', 'store', 'signing-imports-downwards'],
  ['workshop', 'commands', 'workshop-imports-downwards'],
  ['terminal', 'bench', 'terminal-imports-downwards'],
  ['workshop', 'scripts', 'scripts-are-no-room'],
  ['fault', 'scripts/stand-ins', 'scripts-are-no-room'],
  ['scripts', 'fault', 'scripts-import-no-room'],
  ['scripts/stand-ins', 'terminal', 'scripts-import-no-room'],
] as const;

/** Imports that they allow. */
const allowed = [
  ['trade', 'quantity'],
  ['scripts', 'scripts/stand-ins'],
] as const;

const importer = (from: string, to: string): string => `src/${from}/imports-${to.replace('/', '-')}.ts`;

/** A tree in which each pair of rooms has one file that imports one of the other. */
const plant = (pairs: readonly (readonly [from: string, to: string, ...rest: unknown[]])[]): string => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-rooms-'));
  for (const name of ['.dependency-cruiser.cjs', 'tsconfig.json']) cpSync(join(root, name), join(folder, name));
  for (const room of new Set(pairs.flatMap(([from, to]) => [from, to]))) {
    mkdirSync(join(folder, 'src', room), { recursive: true });
    writeFileSync(join(folder, 'src', room, 'imported.ts'), 'export interface Imported { readonly a: 1 }\n');
  }
  for (const [from, to] of pairs) {
    const path = relative(join('src', from), join('src', to, 'imported.ts')).replace(/^(?![.])/, './');
    writeFileSync(join(folder, importer(from, to)), `export type { Imported } from '${path}';\n`);
  }
  return folder;
};

const above = ['where', 'next', 'decide', 'acts/read', 'evolve', 'draft'];

/** Step parts, each with an import of something that is built on the parts; half of them through a file that stands between. */
const plantParts = (): readonly string[] => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-rooms-'));
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
  rmSync(folder, { recursive: true, force: true });
  return violations.filter(({ rule }) => rule.name === 'parts-are-facts').map(({ from }) => from);
};

describe('the check of the rooms', () => {
  it('sees the whole of src, and finds every import going downwards', () => {
    const { summary } = cruise(root);
    expect(summary.totalCruised).toBeGreaterThan(100);
    expect(summary.violations).toEqual([]);
  });

  it('has a rule for each folder of src', () => {
    const rules = createRequire(import.meta.url)(join(root, '.dependency-cruiser.cjs')) as {
      readonly forbidden: readonly { readonly name: string }[];
    };
    const folders = readdirSync(join(root, 'src'), { withFileTypes: true }).filter((entry) => entry.isDirectory());
    const rooms = folders.map(({ name }) => name).filter((name) => name !== 'scripts');
    expect(rules.forbidden.map(({ name }) => name)).toEqual(
      expect.arrayContaining(rooms.map((name) => `${name}-imports-downwards`)),
    );
  });

  describe('with imports planted', () => {
    const folder = plant([...forbidden, ...allowed]);
    afterAll(() => rmSync(folder, { recursive: true, force: true }));
    let found: Cruised | undefined;
    const rulesBroken = (file: string): readonly string[] =>
      (found ??= cruise(folder)).summary.violations.filter(({ from }) => from === file).map(({ rule }) => rule.name);

    it.each(forbidden)('finds that %s imports %s, be it a type alone', (from, to, rule) => {
      expect(rulesBroken(importer(from, to))).toContain(rule);
    });

    it.each(allowed)('finds nothing wrong with an import that %s has from %s', (from, to) => {
      expect(rulesBroken(importer(from, to))).toEqual([]);
    });
  });

  it('finds a step part that needs what is built on the parts, at first or second hand', () => {
    const wanted = above.flatMap((_, index) => [`direct-${index}`, `through-${index}`]);
    expect([...new Set(plantParts())].toSorted()).toEqual(wanted.map((name) => `src/job/parts/${name}.ts`).toSorted());
  });
});
