import type { RecordResult } from '../../record/parts/result.ts';
import { verdictMark } from '../marks.ts';
import { facts, heading, joined, type Block } from '../sheet.ts';
import type { PrintedPart } from './part.ts';

const resultBlocks = (result: RecordResult): readonly Block[] => [
  heading(3, `Result ${result.result}`),
  ...facts(
    ['Calculation', [{ code: result.calculation }]],
    ['From', result.with.map(({ input, is }) => `${input}: ${is}`).join('; ')],
    [
      'Value',
      result.value === undefined ? undefined : joined([[{ strong: result.value }], verdictMark(result.verdict)], ' '),
    ],
    ['No value', result.missing],
    ['Working', result.working],
    ['Formula', result.formula],
    ['Caution', result.caution],
    ['Limits', result.limits],
    ['Limits, filled in', result['limits-now']],
    ['Mind', result.warnings?.join('; ')],
    ['Source', result.source],
  ),
];

/** Each calculated value with its working. */
export const printedResult: PrintedPart = ({ results = [] }) => results.flatMap(resultBlocks);
