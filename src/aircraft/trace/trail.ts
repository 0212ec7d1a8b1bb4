import type { Ground } from '../over.ts';
import type { Rest } from './rest.ts';

/** Something on which work rests. A name may mean several: a lot and a tool, or lots of two materials. */
export type Thing =
  | { readonly kind: 'lot'; readonly material: string; readonly number: string }
  | { readonly kind: 'batch'; readonly batch: string; readonly job: string }
  | { readonly kind: 'tool'; readonly tool: string }
  | { readonly kind: 'part'; readonly part: string }
  | { readonly kind: 'serial'; readonly part: string; readonly serial: string }
  | { readonly kind: 'tag'; readonly tag: string }
  | { readonly kind: 'person'; readonly person: string };

/** What one thing left behind in one job. */
export interface Trail {
  readonly of: Thing;
  /** The words by which a person asks for it. */
  readonly names: readonly string[];
  readonly rests: readonly Rest[];
  /** The work on which other work may have been built. */
  readonly grounds: readonly Ground[];
}

/** The thing for a person: `adhesive L-204`, `A1-27-114 SN 7`. */
export const thingName = (thing: Thing): string => {
  switch (thing.kind) {
    case 'lot':
      return `${thing.material} ${thing.number}`;
    case 'serial':
      return `${thing.part} SN ${thing.serial}`;
    case 'batch':
      return thing.batch;
    case 'tool':
      return thing.tool;
    case 'part':
      return thing.part;
    case 'tag':
      return thing.tag;
    case 'person':
      return thing.person;
  }
};
