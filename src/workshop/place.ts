import type { Disk } from '../store/disk.ts';
import type { Threads } from './journal/signature-threads.ts';

/** Where a workshop stands, and what it may ask the outside for. Handed in: nothing here looks for a clock or chance by itself. */
export interface Workplace {
  readonly disk: Disk;
  /** The state folder. */
  readonly state: string;
  /** The person's own folder: settings, private keys, writers. */
  readonly config: string;
  /** The lock and the snapshot. */
  readonly cache: string;
  /** Where procedures lie that can be started. */
  readonly procedures: string;
  /** Milliseconds since 1970. */
  readonly wall: () => number;
  /** Milliseconds of a clock that never jumps. */
  readonly monotonic: () => number;
  /** Minutes east of UTC, at an instant in ms. */
  readonly offset: (ms: number) => number;
  readonly random: (bytes: number) => Uint8Array;
  /** The environment, for the person's own programs: where their ssh-agent is. Absent: there is none. */
  readonly variables?: Readonly<Record<string, string | undefined>>;
  /** More threads for what takes long; absent: there is this one. */
  readonly threads?: Threads;
  /** Tells this build of the program from every other; absent where it was not built, and nothing is kept for the next run. */
  readonly program?: string;
}
