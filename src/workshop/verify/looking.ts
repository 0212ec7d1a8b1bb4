import type { Observation } from '../../record/observe.ts';
import type { KeyReader } from '../opening/key-texts.ts';
import type { Shelf } from '../opening/library.ts';
import type { Place } from '../place.ts';

/** What a state is verified with, and what was found so far. */
export interface Looking {
  readonly place: Place;
  readonly shelf: Shelf;
  readonly read: KeyReader;
  readonly observations: Observation[];
}
