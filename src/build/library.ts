import type { Outcome } from '../fault/fault.ts';
import type { Procedure } from '../procedure/model.ts';
import type { BuildFile } from './file.ts';

/** The exact texts that entries name by their SHA-256, read and understood; the workshop supplies it. */
export interface Library {
  readonly procedure: (sha256: string) => Outcome<Procedure>;
  readonly build: (sha256: string) => Outcome<BuildFile>;
}
