import type { Outcome } from '../fault/fault.ts';
import type { Log, LogWords } from '../job/logger/log.ts';
import type { Procedure } from '../procedure/model.ts';
import type { BuildFile } from './file.ts';

/**
 * The texts and files that entries name by their SHA-256, read and parsed. The workshop supplies them, because this room never reads a
 * disk.
 */
export interface Library {
  readonly procedure: (sha256: string) => Outcome<Procedure>;
  readonly build: (sha256: string) => Outcome<BuildFile>;
  /** A logger's file, by its name and hash, with what a person had to add about how to read it. */
  readonly log: (named: { readonly sha256: string; readonly file: string }, words: LogWords) => Outcome<Log>;
}
