import { parseQuantity } from '../quantity/quantity.ts';
import { type Dimension, unitNamed } from '../quantity/units.ts';
import type { InputSpec } from '../trade/calculation.ts';
import type { MessageCode } from './codes.ts';
import type { IdChange } from './id-change.ts';
import type { ResultInput } from './model.ts';
import type { IsAbove, Resolving } from './resolving.ts';
import { report } from './subject.ts';
import type { Path } from './tree.ts';
import { checkKind, requireOneValue, valueAt } from './values.ts';

const idPattern = /^[a-z](?:[a-z0-9-]|<each>)*$/;

/** Whether a text is written as an id is, so that it may name a value. */
export const mayBeId = (typed: string): boolean => idPattern.test(typed);

/** A quantity of one of these kinds, or the id of such a value above; anything else stays text and is reported. */
export const resolvedInput = (
  resolving: Resolving,
  typed: string,
  path: Path,
  isAbove: IsAbove,
  wanted: readonly Dimension[],
  { bare, many }: Pick<InputSpec, 'bare' | 'many'> = {},
): ResultInput => {
  const options = bare === undefined ? [] : [{ unit: unitNamed(bare, wanted[0]) }];
  const tried = [...options, ...(wanted.length === 0 ? [{}] : wanted.map((dimension) => ({ dimension })))];
  const read = tried.map((option) => parseQuantity(typed, option));
  const quantity = read.find((one) => one.ok);
  if (quantity?.ok === true) return { kind: 'quantity', quantity: quantity.value };
  if (mayBeId(typed)) {
    const named = valueAt(resolving, typed, path, isAbove);
    if (many !== true) requireOneValue(resolving, named, path);
    checkKind(resolving, named, path, wanted);
    return { kind: 'id', id: typed };
  }
  const fault = read[0]?.ok === false ? read[0].fault : undefined;
  if (fault !== undefined) report(resolving.subject, path, fault.code as MessageCode, fault.what, fault.todo);
  return { kind: 'text', text: typed };
};

export const rekeyedInput = (input: ResultInput, change: IdChange): ResultInput =>
  input.kind === 'id' ? { kind: 'id', id: change.value(input.id) } : input;
