import type { Life } from '../terminal/leave.ts';

/** Where text is printed. `isTTY`: it is a terminal, not a pipe or a file. */
export interface Output {
  write(text: string | Uint8Array): unknown;
  readonly isTTY?: boolean | undefined;
  readonly columns?: number | undefined;
  readonly rows?: number | undefined;
}

export interface Streams {
  readonly stdin: NodeJS.ReadableStream & {
    readonly isTTY?: boolean | undefined;
    /** True while keys are read one by one. */
    readonly isRaw?: boolean | undefined;
  };
  readonly stdout: Output;
  readonly stderr: Output;
}

/** Wall time, a clock that never jumps, and the local offset from UTC. */
export interface Clock {
  /** Milliseconds since 1970. */
  wall(): number;
  /** Milliseconds since any fixed point, unaffected by changes of the wall clock. */
  monotonic(): number;
  /** Minutes east of UTC at that moment. */
  offset(ms: number): number;
  /** Runs `act` once, after at least `ms` milliseconds. Returns a function that cancels it. */
  after(ms: number, act: () => void): () => void;
}

/** The process and its machine: environment variables, folders, random numbers. */
export interface Environment {
  readonly variables: Readonly<Record<string, string | undefined>>;
  readonly cwd: string;
  readonly home: string;
  random(bytes: number): Uint8Array;
  /** The name of this build of the program, by the hash of its text. Absent where the program runs unbuilt. */
  readonly program?: string;
  /** Further threads for long work: the file that each runs, and how many there may be. Absent where the program runs unbuilt. */
  readonly threads?: { readonly script: string; readonly count: number };
  /** Sets a variable for the drawing packages, which read the environment themselves. */
  setVariable(name: string, value: string): void;
  /** Signals the end of the process, so that the bench can restore the terminal. */
  readonly life: Life;
}

/** Everything outside the program that a command may touch. Made once, in `cli.ts`. */
export interface Host {
  readonly streams: Streams;
  readonly clock: Clock;
  readonly env: Environment;
}
