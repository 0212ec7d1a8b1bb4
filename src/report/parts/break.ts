import { facts } from '../sheet.ts';
import type { PrintedPart } from './part.ts';

/** Which samples the step breaks; how they broke is printed with their batches. */
export const printedBreak: PrintedPart = ({ break: breaks }) =>
  facts([
    'Breaks the samples of',
    breaks && `${breaks.of.join(', ')}${breaks['not-before'] ? `, not before ${breaks['not-before']}` : ''}`,
  ]);
