import * as z from 'zod/mini';
import { resultNow } from '../../job/values.ts';
import { verdictOfResult } from '../../job/parts/result.ts';
import type { JobState } from '../../job/state.ts';
import type { Result } from '../../procedure/model.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { inputText, limitsFilled } from '../limits.ts';
import { presentOf, unlessEmpty } from '../plain.ts';
import { optionalShape, textShape, textsShape, verdict, type Frozen } from '../shapes.ts';
import type { RecordedPart } from './part.ts';

const resultShape = z.strictObject({
  result: textShape,
  calculation: textShape,
  /** What it was calculated from: a quantity, a text, or the id of a reading or result. */
  with: z.array(z.strictObject({ input: textShape, is: textShape })),
  limits: optionalShape(textShape),
  'limits-now': optionalShape(textShape),
  source: optionalShape(textShape),
  /** Absent where an input is still missing. */
  value: optionalShape(textShape),
  working: optionalShape(textShape),
  /** Where the formula is published, and what it does not cover. */
  formula: optionalShape(textShape),
  caution: optionalShape(textShape),
  warnings: optionalShape(textsShape),
  verdict: optionalShape(verdict),
  /** Why there is no value. */
  missing: optionalShape(textShape),
});

const resultsShape = z.array(resultShape);

export type RecordResult = Frozen<z.infer<typeof resultShape>>;

/** One calculation: its inputs, its value and its working. */
const resultOf = (job: JobState, result: Result): RecordResult => {
  const calculated = resultNow(job, result.result);
  return presentOf<RecordResult>({
    result: result.result,
    calculation: result.calculation,
    with: Object.entries(result.from).map(([input, given]) => ({ input, is: inputText(given) })),
    limits: result.limits?.text,
    'limits-now': limitsFilled(job, result),
    source: result.source,
    value: calculated?.quantity && printQuantity(calculated.quantity),
    working: calculated?.working,
    formula: calculated?.source,
    caution: calculated?.caution,
    warnings: unlessEmpty(calculated?.warnings ?? []),
    verdict: verdictOfResult(job, result),
    missing: calculated?.why,
  });
};

export const recordedResult: RecordedPart<'results', typeof resultsShape> = {
  slot: 'results',
  shape: resultsShape,
  write: (job, step) => unlessEmpty(step.results.map((result) => resultOf(job, result))),
};
