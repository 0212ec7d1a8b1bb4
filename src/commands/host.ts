import type { Life } from '../terminal/leave.ts';

/** What a person types on and reads from. `isTTY` tells a terminal from a pipe. */
export interface Output {
  write(text: string): unknown;
  readonly isTTY?: boolean | undefined;
  readonly columns?: number | undefined;
  readonly rows?: number | undefined;
}

export interface Streams {
  readonly stdin: NodeJS.ReadableStream & { readonly isTTY?: boolean | undefined };
  readonly stdout: Output;
  readonly stderr: Output;
}

/** Wall time, a clock that never jumps, and the place's offset from UTC. */
export interface Clock {
  /** Milliseconds since 1970. */
  wall(): number;
  /** Milliseconds from any fixed point; unaffected by a change of the wall clock. */
  monotonic(): number;
  /** Minutes east of UTC at that moment. */
  offset(ms: number): number;
  /** Runs `act` once, not sooner than after `ms`; calling what it returns makes that never happen. */
  after(ms: number, act: () => void): () => void;
}

/** What surrounds the process: the environment's variables, folders, chance. */
export interface Environment {
  readonly variables: Readonly<Record<string, string | undefined>>;
  readonly cwd: string;
  readonly home: string;
  random(bytes: number): Uint8Array;
  /** Tells this build of the program from every other; absent where it runs unbuilt. */
  readonly program?: string;
  /** More threads for what takes long: the file that each runs, and how many there may be; absent where the program runs unbuilt. */
  readonly threads?: { readonly script: string; readonly count: number };
  /** For the packages that draw, which look at the environment themselves. */
  setVariable(name: string, value: string): void;
  /** What the bench must hear of its own end, so that the terminal is given back. */
  readonly life: Life;
}

/** Everything outside that a command may touch; made once, in `cli.ts`. */
export interface Host {
  readonly streams: Streams;
  readonly clock: Clock;
  readonly env: Environment;
}
