import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { bundle } from '../../src/scripts/build.mjs';
import { bundlePackagesAsTheyCome } from '../support/bundle.ts';
import { benchMemory, enterInLong, entryInLong, keyInLong, statusAfterEntry, statusAgain } from './ageing.ts';
import { append, reading } from './journal.ts';
import { verifying } from './signatures.ts';
import { wholeRun } from './programs.ts';
import { comparing } from './comparing.ts';
import { besideMany } from './many-procedures.ts';
import { firstOpening, verifyLong } from './first-opening.ts';
import { countingRows, keyAtCure, readingRows } from './curing.ts';
import {
  command,
  deciding,
  firstFrame,
  keyToPaint,
  longStatus,
  memory,
  opening,
  worstText,
  checking,
  checkingTwice,
  type Places,
  type Result,
} from './measures.ts';

/**
 * Prints speed as ratios to a bare baseline, measured in turns in the same run, and whether each aim is reached. It never fails for an aim
 * that is not reached, because that depends on the machine and on its other work. Names choose measures.
 */
const [root = process.cwd(), ...wanted] = process.argv.slice(2);
const folder = mkdtempSync(join(tmpdir(), 'dryfit-bench-'));
const places: Places = {
  program: join(root, 'dist/dryfit.js'),
  fixtures: folder,
  home: join(folder, 'home'),
  procedure: join(root, 'procedures/strut-bolts.yaml'),
  keel: join(root, 'procedures/keel-scarf-bond.yaml'),
  state: join(folder, 'state'),
};

const print = (text: string): boolean => process.stdout.write(`${text}\n`);
const line = ({ what, against, found, aim, reached }: Result): string =>
  `${what.padEnd(24)} ${against.padEnd(26)} ${aim.padEnd(12)} ${reached ? 'reached    ' : 'not reached'}  ${found}`;

/** The measures by name, and whether each needs the built program. */
const measures: Readonly<Record<string, readonly [needsProgram: boolean, measure: () => Promise<Result>]>> = {
  command: [true, () => command(places)],
  'first-frame': [true, () => firstFrame(places)],
  'key-to-paint': [false, () => keyToPaint(places, 80, 24)],
  'key-to-paint-large': [false, () => keyToPaint(places, 200, 60)],
  'key-at-cure': [true, () => keyAtCure(places, 80, 24)],
  'key-at-cure-large': [true, () => keyAtCure(places, 200, 60)],
  memory: [false, () => memory(places)],
  comparing: [false, () => Promise.resolve(comparing(1100))],
  'curing-rows': [false, () => countingRows(places)],
  'reading-rows': [false, () => readingRows()],
  opening: [false, () => opening(places)],
  'first-opening': [false, () => firstOpening(places)],
  'verify-long': [false, () => verifyLong(places)],
  'long-status': [true, () => longStatus(places)],
  'start-beside-many': [true, () => besideMany(places, ['start', 'bay-0', '--json'])],
  'ahead-beside-many': [true, () => besideMany(places, ['ahead', 'bay-3', 'spread'])],
  'status-again': [true, () => statusAgain(places)],
  'status-after-entry': [true, () => statusAfterEntry(places)],
  'long-entry': [true, () => entryInLong(places)],
  'long-key': [true, () => keyInLong(places)],
  'long-enter': [true, () => enterInLong(places)],
  'long-memory': [true, () => benchMemory(places)],
  append: [false, () => append(folder)],
  reading: [false, () => reading(folder)],
  verifying: [false, () => verifying(places)],
  deciding: [false, () => deciding('')],
  'deciding-with-unit': [false, () => deciding(' mm')],
  'worst-text': [false, () => worstText()],
  checking: [false, () => checking()],
  'checking-twice': [false, () => checkingTwice()],
};

/** A state with a whole job in it, so that there is something to read. */
const rehearse = async (): Promise<void> => {
  const script = join(root, 'tests/scripts/keel-scarf.yaml');
  await wholeRun([places.program, 'rehearse', script, '--state', places.state], places.home);
};

const run = async (): Promise<void> => {
  const fixture = (name: string): string => join(root, 'tests/bench/fixtures', name);
  await bundle(fixture('ours.tsx'), join(folder, 'ours.js'));
  await bundle(fixture('open.ts'), join(folder, 'open.js'));
  await bundle(fixture('first.ts'), join(folder, 'first.js'));
  await bundle(fixture('bare-journal.ts'), join(folder, 'bare-journal.js'));
  await bundle(fixture('frames.tsx'), join(folder, 'frames.js'));
  await bundle(fixture('verify-loop.ts'), join(folder, 'verify-loop.js'));
  await bundle(join(root, 'src/workshop/journal/signature-worker.ts'), join(folder, 'signature-worker.js'));
  await bundlePackagesAsTheyCome(fixture('stock.tsx'), join(folder, 'stock.mjs'));
  const built = existsSync(places.program);
  if (built) await rehearse().catch((error: unknown) => print(`The state is empty: ${String(error)}`));
  else print('dist/dryfit.js is not there (npm run build): its two measurements are left out.');
  print(
    `${'measured'.padEnd(24)} ${'against'.padEnd(26)} ${'aim'.padEnd(12)} ${''.padEnd(11)}  found: ratio (middle half; medians)`,
  );
  for (const [name, [needsProgram, measure]] of Object.entries(measures)) {
    if ((needsProgram && !built) || (wanted.length > 0 && !wanted.includes(name))) continue;
    const said = await measure().then(
      line,
      (error: unknown) => `could not be measured: ${error instanceof Error ? error.message : String(error)}`,
    );
    print(said);
  }
};

await run().finally(() => rmSync(folder, { recursive: true }));
