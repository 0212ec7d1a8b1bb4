import { parse } from 'yaml';
import { checkFolder } from '../../src/procedure/folder.ts';
import { readBytes } from '../../src/procedure/load.ts';
import { procedureFolder } from './procedure-folder.ts';
import { inTurns, type Pair } from './statistics.ts';

/** Few, because each takes seconds and processor time varies little. */
const rounds = 4;

type Files = readonly (readonly [file: string, bytes: Uint8Array])[];

const bytesOf = (steps: number): Files =>
  procedureFolder(steps).map(([file, text]) => [file, Buffer.from(text, 'utf8')]);

/** Milliseconds of processor time. Nothing waits here, so other work on the machine does not count. */
const timed = (work: () => void): Promise<number> => {
  const begun = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(begun);
  return Promise.resolve((user + system) / 1000);
};

/** Everything that `check` does with a folder, except reading the disk and printing. */
const checked = (files: Files): void => {
  const members = files.map(([file, bytes]) => {
    const { procedure, tree, messages } = readBytes(bytes, file, { name: file.replace(/\.yaml$/, '') });
    if (procedure === undefined || tree === undefined || messages.length > 0)
      throw new Error(`${file} is not sound: ${JSON.stringify(messages[0])}`);
    return { file, procedure, tree };
  });
  const [first] = checkFolder(members);
  if (first !== undefined) throw new Error(`the folder is not sound: ${JSON.stringify(first)}`);
};

const parsed = (files: Files): void => {
  for (const [, bytes] of files) parse(Buffer.from(bytes).toString('utf8'));
};

/** Loading and checking a folder, against the YAML package alone on the same bytes. */
export const checkAgainstParse = (steps: number): Promise<Pair[]> => {
  const files = bytesOf(steps);
  return inTurns(
    rounds,
    () => timed(() => checked(files)),
    () => timed(() => parsed(files)),
  );
};

/** Loading and checking twice the steps, against once. */
export const checkOfTwice = (steps: number): Promise<Pair[]> => {
  const [once, twice] = [bytesOf(steps), bytesOf(2 * steps)];
  return inTurns(
    rounds,
    () => timed(() => checked(twice)),
    () => timed(() => checked(once)),
  );
};
