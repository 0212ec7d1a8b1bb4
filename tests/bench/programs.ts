import * as pty from '@lydell/node-pty';
import { spawn } from 'node:child_process';

/** Names that change how a program draws or colours. */
const unwanted = new Set([
  'CI',
  'CONTINUOUS_INTEGRATION',
  'NO_COLOR',
  'FORCE_COLOR',
  'COLUMNS',
  'LINES',
  'DRYFIT_STATE',
]);

const environment = (home: string): Record<string, string> => {
  const kept = Object.entries(process.env).filter(
    (entry): entry is [string, string] => entry[1] !== undefined && !unwanted.has(entry[0]),
  );
  return {
    ...Object.fromEntries(kept),
    HOME: home,
    XDG_CONFIG_HOME: home,
    XDG_CACHE_HOME: home,
    TERM: 'xterm-256color',
  };
};

/** Milliseconds from the start of a program to its end; fails when the program fails. */
export const wholeRun = (args: readonly string[], home: string): Promise<number> =>
  new Promise((resolve, reject) => {
    const begun = performance.now();
    const child = spawn(process.execPath, args, { stdio: ['ignore', 'ignore', 'pipe'], env: environment(home) });
    let said = '';
    child.stderr.on('data', (data: Buffer) => (said += data.toString()));
    child.on('error', reject);
    child.on('close', (code) => {
      if (code === 0) resolve(performance.now() - begun);
      else reject(new Error(`node ${args.join(' ')}: exit ${code}\n${said}`));
    });
  });

export interface Running {
  readonly pid: number;
  /** Milliseconds until the output since this call holds `text`, and `end` after it; fails after ten seconds. */
  readonly until: (text: string, end?: string, act?: () => void) => Promise<number>;
  readonly send: (keys: string) => void;
  readonly stop: () => Promise<void>;
}

/** Runs a program in a pseudo-terminal. Its output is searched as it comes, which takes next to no time. */
export const inTerminal = (args: readonly string[], home: string, columns = 80, rows = 24): Running => {
  const child = pty.spawn(process.execPath, [...args], { cols: columns, rows, env: environment(home) });
  let output = '';
  let look = (): void => {};
  child.onData((data) => {
    output += data;
    look();
  });
  const gone = new Promise<void>((resolve) => child.onExit(() => resolve()));
  return {
    pid: child.pid,
    until: (text, end = '', act = () => {}) =>
      new Promise((resolve, reject) => {
        const begun = performance.now();
        const limit = setTimeout(
          () => reject(new Error(`no ${JSON.stringify(text)} from node ${args.join(' ')}:\n${output}`)),
          10_000,
        );
        look = () => {
          const at = output.indexOf(text);
          if (at === -1 || !output.includes(end, at)) return;
          clearTimeout(limit);
          look = () => {};
          output = '';
          resolve(performance.now() - begun);
        };
        act();
        look();
      }),
    send: (keys) => child.write(keys),
    stop: async () => {
      child.kill('SIGKILL');
      await gone;
    },
  };
};
