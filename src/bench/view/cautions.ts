import { blank, paragraphRows, type Row } from '../drawing/rows.ts';
import { title } from './page.ts';

/** The cautions, shown once at the first run, and from the menu. */
const texts: readonly string[] = [
  "dryfit does not replace your kit's manual, the designer's agreement, or the inspector that the law asks for. Where they differ, they win.",
  'A finished record is not an approval of any aircraft or part. dryfit approves nothing.',
  'The procedures that come with it are fiction. No limit in them may be used on a real aircraft.',
  "Resin and hardener sensitise skin, sometimes after one contact, and for good. Nitrile gloves, changed often; no solvent on skin; keep clear of the dust of half-cured glue. A full cup can smoke. Read the maker's safety sheet.",
  'Fuel: outdoors or vented, earthed, fire bottle at hand, no phone by the measure. Treat every propeller as live. Two people for a lift.',
  'Rules differ by country and change.',
  'Clock and thermometer are only as good as what was typed in: dryfit says "entered".',
];

export const cautions = (width: number): readonly Row[] => [
  ...title('Before you begin', width),
  ...texts.flatMap((text, index) => [...(index === 0 ? [] : [blank]), ...paragraphRows(text, width)]),
];
