import { bad, good, open } from '../marks.ts';
import { facts, type Runs } from '../sheet.ts';
import type { PrintedPart } from './part.ts';

/** Which samples the step breaks, and how they broke. */
export const printedBreak: PrintedPart = ({ break: breaks }) =>
  facts(
    [
      'Breaks the samples of',
      breaks && `${breaks.of.join(', ')}${breaks['not-before'] ? `, not before ${breaks['not-before']}` : ''}`,
    ],
    ...(breaks?.samples ?? []).map(({ sample, batch, result }): readonly [string, Runs] => [
      `Sample ${sample}`,
      [`of ${batch}: `, result === undefined ? open('not broken yet') : result === 'held' ? good(result) : bad(result)],
    ]),
  );
