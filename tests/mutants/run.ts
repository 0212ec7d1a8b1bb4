import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { Stryker } from '@stryker-mutator/core';
import { leftOut } from './mutant.ts';
import { isFound, scoreLines, sourceOf, triedOf, type Tried } from './scores.ts';

/**
 * Changes the code of one room in one place at a time, and shows which changes no test finds:
 *
 *     npm run mutants -- ROOM [PART OF A FILE'S NAME …] [--every N] [--again] [--with FOLDER …] [--cores N] [--vitest] [--so-far]
 *
 * The tests are those of the room's own folder, and of every folder of tests/ that `--with` names. `--every 5` tries one change in five, the
 * same ones each time. `--again` tries only what the last run of this room, whole or cut short, did not find or did not try: enough where
 * tests were added and none was taken away. `--vitest` runs the tests by vitest itself, which is slower. `--so-far` tries nothing, and
 * prints what a run that goes on, or was cut short, has found.
 */
const rooms = ['quantity', 'proof', 'trade', 'job', 'aircraft', 'record'];

const usage = (fault: string): never => {
  process.stderr.write(`mutants: ${fault}\n`);
  process.stderr.write(
    `Write: npm run mutants -- ${rooms.join('|')} [PART OF A FILE'S NAME …] [--every N] [--again] [--with FOLDER …]\n`,
  );
  process.exit(2);
};

const asked = (): {
  readonly room: string;
  readonly parts: readonly string[];
  readonly every: number;
  readonly cores: number;
  readonly again: boolean;
  readonly viaVitest: boolean;
  readonly isSoFar: boolean;
  readonly beside: readonly string[];
} => {
  const { values, positionals } = parseArgs({
    args: process.argv.slice(2),
    allowPositionals: true,
    options: {
      every: { type: 'string', default: '1' },
      cores: { type: 'string', default: '2' },
      again: { type: 'boolean', default: false },
      vitest: { type: 'boolean', default: false },
      'so-far': { type: 'boolean', default: false },
      with: { type: 'string', multiple: true, default: [] },
    },
  });
  const [room = '', ...parts] = positionals;
  const [every, cores] = [Number(values.every), Number(values.cores)];
  if (!rooms.includes(room)) usage(room === '' ? 'no room is named' : `"${room}" is not one of the rooms`);
  if (!Number.isInteger(every) || every < 1) usage('--every wants a whole number from 1');
  if (!Number.isInteger(cores) || cores < 1) usage('--cores wants a whole number from 1');
  return {
    room,
    parts,
    every,
    cores,
    again: values.again,
    viaVitest: values.vitest,
    isSoFar: values['so-far'],
    beside: values.with,
  };
};

const { room, parts, every, cores, again, viaVitest, isSoFar, beside } = asked();

const files = readdirSync(`src/${room}`, { recursive: true })
  .map(String)
  .filter((name) => name.endsWith('.ts') && (parts.length === 0 || parts.some((part) => name.includes(part))))
  .map((name) => join(`src/${room}`, name))
  .toSorted();
if (files.length === 0) usage(`no file of src/${room} has ${parts.join(' or ')} in its name`);

const folder = `dist/mutants/${room}`;
const soFar = `${folder}/so-far.jsonl`;
mkdirSync(folder, { recursive: true });

const tests = [room, ...beside].flatMap((name) =>
  readdirSync(`tests/${name}`, { recursive: true })
    .map((file) => `tests/${name}/${String(file)}`)
    .filter((file) => /\.test\.tsx?$/.test(file))
    .toSorted(),
);

/** Tries the changes; `found` names those that are known to be found. */
const tryAll = async (found: readonly string[]): Promise<readonly Tried[]> => {
  process.env['MUTANTS_TESTS'] = JSON.stringify(tests);
  for (const name of files) sourceOf(name);
  const stryker = new Stryker({
    mutate: files,
    testRunner: viaVitest ? 'vitest' : 'in-process',
    // The tests are chosen by the configuration of vitest: a change that acts while a module is loaded is tried with all of them.
    vitest: { configFile: 'tests/mutants/vitest.config.ts', related: false },
    coverageAnalysis: 'perTest',
    plugins: ['@stryker-mutator/vitest-runner', join(process.cwd(), 'dist/mutants/left-out.mjs')],
    checkers: ['left-out'],
    dryfit: { every, found, soFar, tests },
    // A change need not keep the types.
    disableTypeChecks: false,
    concurrency: cores,
    // A loop without an end is found by counting its rounds, but a thread that waits for ever (proof/batch.ts) only by this; ms.
    timeoutMS: 20_000,
    dryRunTimeoutMinutes: 20,
    tempDirName: `${folder}/sandbox`,
    ignorePatterns: ['dist', 'coverage'],
    reporters: process.stdout.isTTY ? ['so-far', 'progress', 'html'] : ['so-far', 'html'],
    htmlReporter: { fileName: `${folder}/report.html` },
    logLevel: 'warn' as never,
    warnings: { unknownOptions: false, slow: false, preprocessorErrors: true, unserializableOptions: true },
    allowEmpty: true,
  });
  const results = await stryker.runMutationTest();
  rmSync(`${folder}/sandbox`, { recursive: true, force: true });
  return results.map(triedOf);
};

/** One result a line. */
const readSoFar = (): readonly Tried[] =>
  (existsSync(soFar) ? readFileSync(soFar, 'utf8') : '')
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Tried);

const kept = `${folder}/results.json`;

/** What is known of each change: what the last whole run found, and what a run that was cut short has found since. */
const known = (): readonly Tried[] => {
  const later = readSoFar();
  const names = new Set(later.map(({ name }) => name));
  const whole = existsSync(kept) ? (JSON.parse(readFileSync(kept, 'utf8')) as readonly Tried[]) : [];
  return [...whole.filter(({ name }) => !names.has(name)), ...later];
};

const before = again ? known() : [];
// A run writes what it has found so far anew; what is known must not be lost where this one is cut short too.
if (again) writeFileSync(kept, JSON.stringify(before, undefined, 1));
// Two places of a file may have changes of one name: it is found where each of them is.
const unfound = new Set(before.filter((each) => each.reason === undefined && !isFound(each)).map(({ name }) => name));
const foundBefore = new Map(
  before.filter((each) => isFound(each) && !unfound.has(each.name)).map((each) => [each.name, each]),
);

const runNow = async (): Promise<readonly Tried[]> => {
  const tried = (await tryAll([...foundBefore.keys()])).map((each): Tried => {
    const known = each.reason === leftOut.found ? foundBefore.get(each.name) : undefined;
    return known === undefined ? each : { ...each, status: known.status, reason: undefined };
  });
  writeFileSync(kept, JSON.stringify(tried, undefined, 1));
  return tried;
};

process.stdout.write(`${scoreLines(room, isSoFar ? readSoFar() : await runNow()).join('\n')}\n`);
