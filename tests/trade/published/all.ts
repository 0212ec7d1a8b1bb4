import { cures, mixes, dews } from './bonding.ts';
import { conformances } from './decisions.ts';
import { pipes } from './pipe-threads.ts';
import { rivets, bolts } from './rivets-and-bolts.ts';
import { travels, bends } from './sheet-and-travel.ts';
import { weights, fuels, conversions } from './weights-and-fuel.ts';
import type { PublishedRow } from './row.ts';

/** Every row, grouped by trade. */
export const published: readonly PublishedRow[] = [
  ...rivets,
  ...bolts,
  ...pipes,
  ...cures,
  ...mixes,
  ...dews,
  ...conformances,
  ...weights,
  ...travels,
  ...bends,
  ...fuels,
  ...conversions,
];
