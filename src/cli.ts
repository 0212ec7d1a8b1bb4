import { readFileSync, realpathSync } from 'node:fs';
import { availableParallelism, homedir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { dispatch } from './commands/dispatch.ts';
import type { Clock, Streams, Environment } from './commands/host.ts';

/** dryfit as a function: takes the arguments and everything that the program may touch, and gives its exit code. */
export const main = (argv: readonly string[], streams: Streams, clock: Clock, env: Environment): Promise<number> =>
  dispatch(argv, { streams, clock, env });

const clock: Clock = {
  wall: () => Date.now(),
  monotonic: () => performance.now(),
  offset: (ms) => -new Date(ms).getTimezoneOffset(),
  after: (ms, act) => {
    const timer = setTimeout(act, ms);
    return () => clearTimeout(timer);
  },
};

const random = (bytes: number): Uint8Array => globalThis.crypto.getRandomValues(new Uint8Array(bytes));

const own = fileURLToPath(import.meta.url);

const isEntry = (): boolean => {
  const [, script] = process.argv;
  // `node_modules/.bin/dryfit` is a link, so both paths are resolved before they are compared.
  return script !== undefined && realpathSync(script) === own;
};

/**
 * The name of the built program, which the starter file contains: it ends in the hash of all that the program holds. Absent where the
 * sources are run.
 */
const program = (): string | undefined => /program-[0-9a-f]{12}/.exec(readFileSync(own, 'latin1'))?.[0];

/** The files that run in further threads, which the build puts beside the program. */
const threadsOf = (built: string) => ({
  script: join(dirname(own), `${built}.worker.js`),
  count: availableParallelism(),
});

const run = async (): Promise<void> => {
  for (const stream of [process.stdout, process.stderr]) {
    // A reader that goes away (`dryfit status | head -1`) or a terminal that is closed is not a failure, and must not interrupt what is
    // being written to the disk.
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code !== 'EPIPE' && error.code !== 'EIO') throw error;
    });
  }
  const built = program();
  const env: Environment = {
    ...(built === undefined ? {} : { program: built, threads: threadsOf(built) }),
    variables: process.env,
    cwd: process.cwd(),
    home: homedir(),
    random,
    setVariable: (name, value) => {
      process.env[name] = value;
    },
    life: process,
  };
  process.exitCode = await main(process.argv.slice(2), process, clock, env);
};

if (isEntry()) void run();
