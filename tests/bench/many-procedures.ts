import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { procedureFolder } from './procedure-folder.ts';
import { compared, type Places, type Result } from './measures.ts';
import { wholeRun } from './programs.ts';
import { inTurns } from './statistics.ts';

/** Each procedure of the folder has 25 steps. */
const stepsEach = 25;

/** A build of one person beside so many procedures, in a home of its own. Gives a command there, as a whole process. */
const shopOf = async ({ program, fixtures }: Places, count: number, words: readonly string[]) => {
  const root = join(fixtures, `beside-${count}-${words[0] ?? ''}`);
  const [home, procedures] = [join(root, 'home'), join(root, 'procedures')];
  mkdirSync(home, { recursive: true });
  mkdirSync(procedures, { recursive: true });
  for (const [file, text] of procedureFolder(count * stepsEach)) writeFileSync(join(procedures, file), text);
  const state = ['--state', join(root, 'state')];
  await wholeRun([program, 'person', 'add', 'anna', ...state], home);
  return (): Promise<number> => wholeRun([program, ...words, ...state, '--procedures', procedures], home);
};

/** A command beside 5,000 procedures that nobody touched since the last one, against the same beside 12. */
export const besideMany = async (places: Places, words: readonly string[]): Promise<Result> => {
  const [many, few] = [await shopOf(places, 5000, words), await shopOf(places, 12, words)];
  // Twice, since what was written just now is not kept the first time.
  for (const command of [many, few, many, few]) await command();
  const pairs = await inTurns(11, many, few);
  return compared(`${words[0] ?? ''}, 5,000 procedures`, 'beside 12', 1.5, pairs);
};
