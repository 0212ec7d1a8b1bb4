import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { afterAll } from 'vitest';
import { main } from '../../src/cli.ts';

/** What a command printed, and its exit code. */
export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
  readonly json: () => unknown;
}

export interface RunOptions {
  /** What the command reads from its input, which is a pipe. */
  readonly stdin?: string;
  /** The time of the whole run, RFC 3339. */
  readonly now?: string;
  readonly cwd?: string;
  readonly variables?: Readonly<Record<string, string>>;
  /** stderr is a terminal, and so much passes between two looks at the monotonic clock that long work shows how far it is. */
  readonly slowly?: boolean;
}

/** A machine for one test: its home, working folder and state are removed afterwards. */
export interface Machine {
  readonly folder: string;
  readonly state: string;
  readonly run: (argv: readonly string[], options?: RunOptions) => Promise<Ran>;
  /** Writes a file into the working folder and gives its path. */
  readonly file: (name: string, content: string | Uint8Array) => string;
  readonly read: (path: string) => string;
  /** The lines of the one journal file. */
  readonly journal: () => readonly Record<string, unknown>[];
}

export const projectFolder = fileURLToPath(new URL('../..', import.meta.url));
export const fixture = (path: string): string => join(projectFolder, 'tests/fixtures', path);

const made: string[] = [];
afterAll(() => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** The time of a run that does not name one. */
const usual = Date.parse('2026-03-02T08:00:00Z');

export const machine = (): Machine => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-'));
  made.push(folder);
  const state = join(folder, 'state');
  let ran = 0;
  const run: Machine['run'] = async (argv, options = {}) => {
    const said = { out: '', err: '' };
    const into = (key: 'out' | 'err', isTTY = false) => ({ write: (text: string) => void (said[key] += text), isTTY });
    let looks = 0;
    ran += 1;
    const wall = options.now === undefined ? usual + ran * 1000 : Date.parse(options.now);
    const code = await main(
      argv,
      {
        stdin: Object.assign(Readable.from([options.stdin ?? '']), {}),
        stdout: into('out'),
        stderr: into('err', options.slowly),
      },
      {
        wall: () => wall,
        monotonic: () => (options.slowly === true ? (looks += 1) * 700 : 0),
        offset: () => 60,
        after: () => () => undefined,
      },
      {
        variables: { ...options.variables },
        cwd: options.cwd ?? folder,
        home: join(folder, 'home'),
        random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
        setVariable: () => undefined,
        life: { on: () => undefined, off: () => undefined, kill: () => undefined, pid: 0 },
      },
    );
    return { code, ...said, json: () => JSON.parse(said.out) as unknown };
  };
  return {
    folder,
    state,
    run,
    file: (name, content) => {
      const path = join(folder, name);
      writeFileSync(path, content);
      return path;
    },
    read: (path) => readFileSync(join(folder, path), 'utf8'),
    journal: () => {
      const [name = ''] = readdirSync(join(state, 'journal'));
      const text = readFileSync(join(state, 'journal', name), 'utf8');
      return text
        .split('\n')
        .filter((line) => line !== '')
        .map((line) => JSON.parse(line) as Record<string, unknown>);
    },
  };
};
