import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { projectFolder } from '../support/command.ts';
import { askOnce } from './asked-once.ts';
import type { Extent } from './campaign.ts';
import { campaignsIn } from './campaigns.ts';

/* A share of the cases that `npm run faults` tries in full: enough of each campaign to find, most likely, a law that does not hold. */

const root = mkdtempSync(join(tmpdir(), 'dryfit-faults-'));
beforeAll(() => {
  const build = [join(projectFolder, 'src/scripts/build.mjs'), 'src/cli.ts', join(root, 'dist')];
  expect(spawnSync(process.execPath, build, { cwd: projectFolder, encoding: 'utf8' }).stderr).toBe('');
  mkdirSync(join(root, 'tests'), { recursive: true });
  for (const name of ['fixtures', 'faults', 'hostile'])
    symlinkSync(join(projectFolder, 'tests', name), join(root, 'tests', name));
  symlinkSync(join(projectFolder, 'procedures'), join(root, 'procedures'));
  askOnce();
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** One case in how many; how many where the campaign is random; and at least how many it must have tried. */
const extents: Readonly<Record<string, readonly [every: number, many: number, least: number]>> = {
  kills: [7, 0, 30],
  killsInALine: [241, 0, 30],
  killsInARow: [1, 100, 100],
  powerCuts: [11, 700, 40],
  full: [997, 0, 50],
  failing: [19, 0, 25],
  cacheFails: [7, 0, 20],
  unsure: [9, 0, 10],
  readOnly: [1, 0, 3],
  turnedReadOnly: [37, 0, 30],
  bits: [691, 0, 250],
  lines: [7, 0, 90],
  writers: [1, 500, 10],
  inTheGap: [23, 0, 20],
  halfCopied: [37, 0, 40],
  beginnings: [23, 0, 15],
  walks: [1, 12, 300],
  moved: [41, 0, 20],
  processKills: [1, 0, 8],
  insiders: [7, 100, 40],
  yamlBombs: [1, 150, 150],
  hostileGitFolders: [3, 0, 20],
};

/** Judged by seconds and by memory, so not here, where other tests run at the same time: `npm run faults` tries them. */
const timed: ReadonlySet<string> = new Set(['readerBombs']);

describe('under harm of every kind, no shown answer is lost, no damage is overlooked and nothing else is refused', () => {
  for (const [name, campaign] of Object.entries(campaignsIn(root)))
    it.skipIf(timed.has(name))(name, async () => {
      const [every, many, least] = extents[name] ?? [1, 1, 1];
      const extent: Extent = { every, many, processes: 8 };
      const told = await campaign(extent);
      expect(told.broken).toEqual([]);
      expect(told.count).toBeGreaterThanOrEqual(least);
    });
});
