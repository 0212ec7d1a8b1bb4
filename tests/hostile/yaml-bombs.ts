import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readBytes } from '../../src/procedure/load.ts';
import { mostMessages } from '../../src/procedure/message.ts';
import { largestFile } from '../../src/procedure/yaml/bytes.ts';
import { compose, mostPieces } from '../../src/procedure/yaml/compose.ts';
import { tally, type Campaign } from '../faults/campaign.ts';
import { chance } from '../support/chance.ts';
import { changed, nameOf, randomRecipe, textOf, type Recipe } from './yaml-grammar.ts';

/** Ms of processor time, and bytes above a bare process beside four times the file, that reading one file may cost. */
const limits = { ms: 2000, bytes: 100 * 1024 * 1024, times: 4 };

interface Cost {
  readonly kilobytes: number;
  readonly ms: number;
}

/** What a whole process costs, measured by itself. */
const costOf = (root: string, args: readonly string[], home: string): Cost => {
  const fixture = join(root, 'tests/hostile/fixtures/measured.cjs');
  const ran = spawnSync(process.execPath, ['--require', fixture, ...args], {
    stdio: ['ignore', 'ignore', 'ignore', 'pipe'],
    encoding: 'utf8',
    env: { ...process.env, HOME: home, XDG_CONFIG_HOME: home, XDG_CACHE_HOME: home },
  });
  return JSON.parse(String(ran.output[3])) as Cost;
};

/** What must hold of every text, whatever it is: counted, not measured. */
const uncounted = (bytes: Uint8Array): readonly string[] => {
  const { procedure, messages } = readBytes(bytes, 'f');
  const { pieces } = compose(Buffer.from(bytes).toString('utf8'));
  return [
    ...(pieces > mostPieces ? [`${pieces} pieces were given to the package`] : []),
    ...(messages.length > mostMessages + 1 ? [`${messages.length} messages`] : []),
    ...(procedure === undefined && messages.length === 0 ? ['it is neither read nor refused'] : []),
  ];
};

/** Ms of processor time for each text that is tried while searching. */
const searched = (recipe: Recipe): number => {
  const bytes = Buffer.from(textOf(recipe, searchSize), 'utf8');
  const begun = process.cpuUsage();
  readBytes(bytes, 'f');
  const { user, system } = process.cpuUsage(begun);
  return (user + system) / 1000;
};
const searchSize = 48 * 1024;

interface Found {
  readonly recipe: Recipe;
  readonly score: number;
}

/** Climbs from random recipes to slow ones: a change that makes the text slower is kept. Gives the slowest of each climb. */
const climbs = (many: number, seed: number): readonly Found[] => {
  const next = chance(seed);
  const stepsEach = 60;
  return Array.from({ length: Math.ceil(many / stepsEach) }, () => {
    let best: Found = { recipe: { head: '', runs: [] }, score: -1 };
    for (let step = 0; step < stepsEach; step += 1) {
      const recipe = step < 10 ? randomRecipe(next) : changed(next, best.recipe);
      const score = searched(recipe);
      if (score > best.score) best = { recipe, score };
    }
    return best;
  });
};

/** The largest text of a recipe that is read to its end, so that nothing of the cost is spared, and the largest file of it. */
const sizesOf = (recipe: Recipe): readonly number[] => {
  const bytesEach = Buffer.byteLength(textOf(recipe, searchSize)) / searchSize;
  const whole = Math.floor(largestFile / Math.max(1, bytesEach)) - 8;
  const { pieces } = compose(textOf(recipe, searchSize));
  const full = Math.floor((searchSize * mostPieces * 0.98) / pieces);
  return full < whole ? [whole, full] : [whole];
};

const measured = (
  root: string,
  worst: readonly Found[],
  add: (name: string, found: readonly string[]) => void,
): void => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-bombs-'));
  try {
    const bare = costOf(root, ['-e', '0'], folder);
    for (const { recipe } of worst)
      for (const size of sizesOf(recipe)) {
        const file = join(folder, 'a.yaml');
        const text = Buffer.from(textOf(recipe, size), 'utf8');
        writeFileSync(file, text);
        const cost = costOf(root, [join(root, 'dist/dryfit.js'), 'check', file], folder);
        const most = bare.kilobytes + (limits.times * text.length + limits.bytes) / 1024;
        add(`${nameOf(recipe)}, ${text.length} bytes`, [
          ...(cost.ms > limits.ms ? [`${Math.round(cost.ms)} ms`] : []),
          ...(cost.kilobytes > most
            ? [`${Math.round(cost.kilobytes / 1024)} MB, more than ${Math.round(most / 1024)}`]
            : []),
        ]);
      }
  } finally {
    rmSync(folder, { recursive: true });
  }
};

/** In `npm run faults`, not in the tests, which assert no times. */
const isMeasured = (processes: number): boolean => processes >= 100;

/** The slowest are measured, each in a process of its own. */
const mostMeasured = 60;

/** @param root the project's folder, with the built program in it. */
export const yamlBombs =
  (root: string): Campaign =>
  ({ every, many, processes }) => {
    const { add, told } = tally(
      'hostile YAML, made by the grammar and searched for the slowest',
      'read or refused within 2 s of processor time, and 4 times the file and 100 MB above a bare process',
    );
    const next = chance(1);
    for (let one = 0; one < many; one += 1)
      if (one % every === 0) {
        const recipe = randomRecipe(next);
        add(nameOf(recipe), uncounted(Buffer.from(textOf(recipe, 2 * 1024), 'utf8')));
      }
    if (isMeasured(processes)) {
      const found = climbs(many / every, 2).toSorted((a, b) => b.score - a.score);
      measured(root, found.slice(0, mostMeasured), add);
    }
    return told();
  };
