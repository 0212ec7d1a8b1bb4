import type { Observation } from '../../record/observe.ts';
import type { PublicKeyReader } from '../journal/public-keys.ts';
import type { TextLibrary } from '../journal/library.ts';
import type { Workplace } from '../place.ts';

/** What `verify` of a state works with, and what it has found so far. */
export interface Verification {
  readonly place: Workplace;
  readonly library: TextLibrary;
  readonly read: PublicKeyReader;
  readonly observations: Observation[];
}
