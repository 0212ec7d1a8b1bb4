import { bad, good, open } from '../marks.ts';
import { facts, type Run, type Runs } from '../sheet.ts';
import type { PrintedPart } from './part.ts';

interface Broken {
  readonly result?: 'held' | 'failed';
  readonly refused?: true;
}

/** A sample that was broken although a rule refused it has no tick. */
const resultRun = ({ result, refused }: Broken): Run => {
  if (result === undefined) return open('not broken yet');
  if (result === 'failed') return bad(result);
  return refused === true ? open(`${result}, not counted`) : good(result);
};

/** Which samples the step breaks, and how they broke. */
export const printedBreak: PrintedPart = ({ break: breaks }) =>
  facts(
    [
      'Breaks the samples of',
      breaks && `${breaks.of.join(', ')}${breaks['not-before'] ? `, not before ${breaks['not-before']}` : ''}`,
    ],
    ...(breaks?.samples ?? []).map((one): readonly [string, Runs] => [
      `Sample ${one.sample}`,
      [`of ${one.batch}: `, resultRun(one)],
    ]),
  );
