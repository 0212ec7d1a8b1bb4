import type { Fault } from '../fault/fault.ts';
import type { Disk } from '../store/disk.ts';
import type { Threads } from './journal/signature-threads.ts';

/** Hears how far long work has come, as often as it likes to say. */
export type Progress = (done: number, of: number) => void;

/** Work that may take seconds. `journal` is counted in kB (1000 bytes), all else in things. */
export type Work = 'procedures' | 'journal' | 'entries' | 'files' | 'records' | 'records-checked' | 'script';

/**
 * The folders of a workshop, its clocks and its source of random bytes. They are passed in, so that nothing in the workshop asks
 * the system for them itself.
 */
export interface Workplace {
  readonly disk: Disk;
  /** The state folder. */
  readonly state: string;
  /** The person's own configuration folder, with their settings, private keys and writers. */
  readonly config: string;
  /** The folder for the lock and the snapshot. */
  readonly cache: string;
  /** The folder of the procedures that can be started. */
  readonly procedures: string;
  /** In ms since 1970. */
  readonly wall: () => number;
  /** In ms, by a clock that is never set. */
  readonly monotonic: () => number;
  /** In minutes east of UTC, at an instant in ms since 1970. */
  readonly offset: (ms: number) => number;
  readonly random: (bytes: number) => Uint8Array;
  /** The environment of the person's own programs, which names their ssh-agent. Absent: there is no agent. */
  readonly variables?: Readonly<Record<string, string | undefined>>;
  /** More threads for work that takes long. Absent: there is only this one. */
  readonly threads?: Threads;
  /**
   * Gives one piece of work its listener. Every piece ends with all of it done, also after a fault. Absent: nobody waits for it. Whether
   * anything is shown is decided in `commands/progress.ts` alone.
   */
  readonly progress?: (work: Work) => Progress;
  /** While a session holds the state: why the folder is not the one that it opened, or `undefined`. See `store/held-state.ts`. */
  readonly away?: () => Fault | undefined;
  /** Names this build of the program. Absent where the program was not built; then nothing is kept for the next run. */
  readonly program?: string;
}
