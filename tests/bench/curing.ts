import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { cureNow } from '../../src/job/cure.ts';
import type { Surroundings } from '../../src/job/surroundings.ts';
import { rowsAt } from '../../src/job/logger/log.ts';
import { readLog } from '../../src/job/logger/read.ts';
import type { JobState } from '../../src/job/state.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import { planFor } from '../../src/procedure/plan.ts';
import { printInstant } from '../../src/quantity/time.ts';
import { compared, type Places, type Result } from './measures.ts';
import { inTerminal, wholeRun } from './programs.ts';
import { inTurns, type Pair } from './statistics.ts';

const logged = 100_000;
/** Milliseconds from row to row: 100,000 rows take just under six days. */
const every = 5000;
const day = 86_400_000;
/** Starts six days ago, so that the log ends about now. */
const begun = Math.floor(Date.now() / day) * day - 6 * day;
const time = (days: number, hours: number): string => printInstant(begun + days * day + hours * 3_600_000, 0);

/** A shop that is warm by day and cold by night, to a hundredth of a degree: 23 of 24 hours are counted in six days. */
const degrees = (ms: number): string => (15.8 + 2.5 * Math.sin((ms * 2 * Math.PI) / day)).toFixed(2);

const csv = (rows: number, step: number): string =>
  `time,temperature (°C)\n${Array.from({ length: rows }, (_, row) => `${printInstant(begun + row * step, 60)},${degrees(row * step)}`).join('\n')}\n`;

const many = csv(logged, every);

const timed = (work: () => number): Promise<number> => {
  const from = performance.now();
  if (!(work() > 0)) throw new Error('nothing was counted'); // the work must not be optimised away
  return Promise.resolve(performance.now() - from);
};

/** The cure of the demo's keel over a log, as a decision asks for it, without anything remembered from the time before. */
export const countingRows = async ({ keel }: Places): Promise<Result> => {
  const { procedure } = readProcedure(readFileSync(keel, 'utf8'), keel);
  const log = readLog(Buffer.from(many), 'log.csv');
  if (!log.ok || procedure === undefined) throw new Error('not read');
  const plan = planFor(procedure, undefined);
  const rows = rowsAt(log.value, 60);
  const last = begun + (logged - 1) * every;
  const mark = { entry: 'w:1', file: 'log.csv', sha256: '', count: logged, first: begun, last, rows: () => rows };
  const [marks, logs] = [[], [mark]];
  const around = { temperatures: () => marks, logs: () => logs } as unknown as Surroundings;
  const finished = { state: 'done', finished: { when: printInstant(begun, 60) } };
  const job = { plan, steps: { spread: finished, clamp: finished }, laidAside: [], tries: {} } as unknown as JobState;
  const step = plan.steps.find((one) => one.cure);
  if (step === undefined) throw new Error('no cure');
  // One millisecond before the last row: the program remembers a complete cure, which would cost nothing.
  const ours = (): number => cureNow(job, step, around, last - 1)?.stages[0]?.countedMs ?? 0;
  const bare = (): number => {
    let sum = 0;
    for (let row = 0; row < rows.ms.length; row += 1) sum += rows.ms[row] ?? 0;
    return sum;
  };
  const pairs = await inTurns(
    101,
    () => timed(ours),
    () => timed(bare),
  );
  return compared(`cure over ${logged} rows`, 'summing a column of them', 20, pairs);
};

/** Reading a log, against splitting the same text and `Number()`. */
export const readingRows = async (): Promise<Result> => {
  const bytes = Buffer.from(many);
  const ours = (): number => {
    const log = readLog(bytes, 'log.csv');
    return log.ok ? log.value.ms.length : 0;
  };
  const bare = (): number => {
    let sum = 0;
    for (const line of bytes.toString('utf8').split('\n')) {
      const [at = '', value = ''] = line.split(',');
      sum += Date.parse(at) > 0 ? Number(value) : 0;
    }
    return sum;
  };
  const pairs = await inTurns(
    15,
    () => timed(ours),
    () => timed(bare),
  );
  return compared(`reading ${logged} rows`, 'split, Date.parse, Number', 6, pairs);
};

const script = (folder: string, log: string, procedures: string): string => `script: a long cure
build: { people: [{ person: ines, powers: [builder] }], gates: [hull-close], tools: [{ tool: FG-1, kind: feeler-gauge }, { tool: TH-1, kind: surface-thermometer }] }
procedures: ${procedures}
entries:
  - { at: ${time(-1, 21)}, as: ines, start: keel-scarf-bond }
  - { read: thickness, position: forward, value: 22.1 mm }
  - { read: thickness, position: aft, value: 21.9 mm }
  - { finish: keel-thickness }
  - { read: slope-length, value: 266 mm }
  - { finish: scarf-length }
  - { read: drop, value: spreads }
  - { finish: wetting }
  - { read: moisture-forward, value: 10.5 % }
  - { read: moisture-aft, value: 11 % }
  - { finish: moisture }
  - { use: feeler-gauge, tool: FG-1 }
  - { read: gap, value: 0.1 mm }
  - { read: straightness, value: 0.5 mm }
  - { finish: dry-fit }
  - { read: surface, value: 19.5 °C }
  - { finish: surface-temperature }
  - { lot: adhesive, number: L-204, use-by: 2027-01-31 }
  - { at: ${time(-1, 23.7)}, shop: true, temperature: 20 °C, humidity: 55 % }
  - { mix: mix, weights: { resin: 60 g, hardener: 26.5 g }, with: marit, sample: S-1 }
  - { finish: mix }
  - { finish: spread }
  - { read: squeeze-out, value: continuous on both sides }
  - { at: ${time(0, 0)}, finish: clamp }
  - { at: ${time(6, 0)}, temperatures: ${join(folder, log)} }
`;

const stateWith = async (places: Places, name: string, text: string): Promise<string> => {
  const folder = join(places.fixtures, name);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'log.csv'), text);
  writeFileSync(join(folder, 'script.yaml'), script(folder, 'log.csv', join(places.keel, '..')));
  const state = join(folder, 'state');
  await wholeRun([places.program, 'rehearse', join(folder, 'script.yaml'), '--state', state], places.home);
  return state;
};

/** The end of a frame. */
const painted = '\u001b[?2026l';

/** From a key to the complete frame, for a job whose cure runs over a long log, against a log with a row an hour. */
export const keyAtCure = async (places: Places, columns: number, rows: number): Promise<Result> => {
  const [long, short] = [
    await stateWith(places, `long-${columns}`, many),
    await stateWith(places, `short-${columns}`, csv(140, 3_600_000)),
  ];
  const open = async (state: string) => {
    const running = inTerminal([places.program, 'keel-scarf-bond', '--state', state], places.home, columns, rows);
    await running.until('Coming back', painted);
    await running.until('Temperature now', painted, () => running.send('\r'));
    return running;
  };
  const [ours, bare] = [await open(long), await open(short)];
  const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
  const pairs: Pair[] = [];
  const warm = 10;
  for (let count = 1; count <= warm + 80; count += 1) {
    // Types and deletes a digit of the next temperature. Each key draws the page with its curve.
    const press = async (running: typeof ours): Promise<number> => {
      await pause(60);
      return running.until(painted, '', () => running.send(count % 2 === 1 ? '1' : '\u007f'));
    };
    const pair = { ours: await press(ours), bare: await press(bare) };
    if (count > warm) pairs.push(pair);
  }
  await Promise.all([ours.stop(), bare.stop()]);
  return compared(`key at a cure, ${columns} x ${rows}`, `140 rows, not ${logged}`, 1.3, pairs);
};
