import * as z from 'zod/mini';
import { suggest } from '../../fault/nearest.ts';
import { type Limits, parseLimits } from '../../quantity/limits.ts';
import type { Dimension, Unit } from '../../quantity/units.ts';
import type { Calculation, InputSpec } from '../../trade/calculation.ts';
import { calculations, findCalculation } from '../../trade/calculations.ts';
import type { MessageCode } from '../codes.ts';
import { inputLeaf } from '../compare/leaf-values.ts';
import { type Group, groupField, limitsLeaf, listItems, plain, words } from '../compare/sheet.ts';
import type { IdChange } from '../id-change.ts';
import { resolvedInput, mayBeId, rekeyedInput } from '../inputs.ts';
import { listed, shown } from '../message.ts';
import type { Result, ResultInput } from '../model.ts';
import { lookUp } from '../names.ts';
import type { IsAbove, Resolving } from '../resolving.ts';
import { resultUnitOf } from '../result-unit.ts';
import { given, id, listSchema, textSchema } from '../schema/leaves.ts';
import type { ResultDraft } from '../step-draft.ts';
import { report } from '../subject.ts';
import type { Path } from '../tree.ts';
import { checkLimits, unitOf } from '../values.ts';
import type { WrittenPart } from './part.ts';

const schema = z.pipe(
  z.strictObject({
    result: id,
    calculation: textSchema,
    from: z.record(z.string(), textSchema),
    limits: z.optional(textSchema),
    source: z.optional(textSchema),
  }),
  z.transform((raw): ResultDraft => given(raw)),
);

/** A chart of the procedure, named by its id, as the list of points that the calculation reads; any other text as it stands. */
const chartOf = ({ subject, names }: Resolving, typed: string, path: Path): ResultInput => {
  const chart = subject.head.charts.find((one) => one.chart === typed);
  if (chart !== undefined) return { kind: 'text', text: chart.of.map(({ x, y }) => `${x.text}; ${y.text}`).join('; ') };
  if (mayBeId(typed)) lookUp(subject, names.charts, typed, path, 'chart', () => true);
  return { kind: 'text', text: typed };
};

const textOf = (resolving: Resolving, typed: string, path: Path, spec: InputSpec): ResultInput => {
  if (spec.name === 'chart') return chartOf(resolving, typed, path);
  if (spec.choices !== undefined && !spec.choices.includes(typed)) {
    const todo = `write ${suggest(typed, spec.choices) ?? listed(spec.choices)}`;
    report(resolving.subject, path, 'unknown-value', `${spec.name} cannot be ${shown(typed)}`, todo);
  }
  return { kind: 'text', text: typed };
};

const specOf = (calculation: Calculation, name: string): InputSpec | undefined =>
  calculation.inputs.find((spec) => spec.name === name || (spec.many === true && name.startsWith(spec.name)));

const dimensionsOf = ({ dimension }: InputSpec): readonly Dimension[] =>
  dimension === 'any' || dimension === 'text' ? [] : typeof dimension === 'string' ? [dimension] : dimension;

const calculationOf = ({ subject }: Resolving, name: string, path: Path): Calculation | undefined => {
  const found = findCalculation(name);
  if (found.ok) return found.value;
  const near = suggest(name, Object.keys(calculations));
  const todo = near === undefined ? 'name one that dryfit calc lists' : `write ${near}`;
  report(subject, path, 'unknown-calculation', `there is no calculation ${shown(name)}`, todo);
  return undefined;
};

const checkInputs = ({ subject }: Resolving, calculation: Calculation, given: readonly string[], path: Path): void => {
  for (const spec of calculation.inputs) {
    const known = calculation.inputs.map(({ name }) => name);
    const isMisspelt = (name: string): boolean =>
      specOf(calculation, name) === undefined && suggest(name, known) === spec.name;
    if (!spec.required || given.some((name) => specOf(calculation, name) === spec || isMisspelt(name))) continue;
    const what = `${calculation.name} needs ${spec.name}: ${spec.about}`;
    report(subject, path, 'missing-key', what, `add ${spec.name}:`);
  }
};

/** A result with its inputs looked up among the values that stand above it, and checked against what its calculation takes. */
const resolved = (resolving: Resolving, draft: ResultDraft, index: number): Result => {
  const { subject, names } = resolving;
  const path = [...resolving.path, 'results', index];
  const own = names.values.named.get(draft.result)?.rank ?? Infinity;
  const isAbove: IsAbove = (found) => found.rank < own;
  const calculation = calculationOf(resolving, draft.calculation, [...path, 'calculation']);
  const inputs = Object.entries(draft.from).map(([name, typed]): [string, ResultInput] => {
    const at = [...path, 'from', name];
    if (calculation === undefined) return [name, { kind: 'text', text: typed }];
    const spec = specOf(calculation, name);
    if (spec === undefined) {
      const known = calculation.inputs.map((one) => one.name);
      const todo = `write ${suggest(name, known) ?? listed(known)}`;
      report(subject, at, 'unknown-key', `${calculation.name} has no input ${shown(name)}`, todo);
      return [name, { kind: 'text', text: typed }];
    }
    if (spec.dimension === 'text') return [name, textOf(resolving, typed, at, spec)];
    return [name, resolvedInput(resolving, typed, at, isAbove, dimensionsOf(spec), spec)];
  });
  if (calculation !== undefined) checkInputs(resolving, calculation, Object.keys(draft.from), [...path, 'from']);
  const { limits: typed, ...rest } = draft;
  const understood = Object.fromEntries(inputs);
  const unit =
    calculation && resultUnitOf(calculation, understood, (id) => unitOf(resolving, names.values.named.get(id)));
  if (unit !== undefined) resolving.resultUnits.set(draft.result, unit);
  if (typed === undefined) return { ...rest, from: understood };
  return given({ ...rest, from: understood, limits: limitsOf(resolving, typed, [...path, 'limits'], isAbove, unit) });
};

/** Limits on a result, read in the unit that its calculation gives, where that is known. */
const limitsOf = (
  resolving: Resolving,
  typed: string,
  path: Path,
  isAbove: IsAbove,
  unit: Unit | undefined,
): Limits | undefined => {
  const options = unit === undefined ? {} : unit.dimension === 'count' ? { unit, bare: unit } : { unit };
  const limits = parseLimits(typed, options);
  if (limits.ok) {
    checkLimits(resolving, limits.value, path, isAbove, unit);
    return limits.value;
  }
  const { code, what, todo } = limits.fault;
  report(resolving.subject, path, code as MessageCode, what, todo);
  return undefined;
};

const resultSheet = (result: Result): Group =>
  groupField({
    calculation: plain(result.calculation),
    from: listItems(
      'ids',
      Object.entries(result.from).map(([id, input]) => ({ id, node: inputLeaf(input) })),
    ),
    limits: limitsLeaf(result.limits),
    source: words(result.source),
  });

const rekeyed = (result: Result, change: IdChange): Result =>
  given({
    ...result,
    result: change.own.value(result.result),
    from: Object.fromEntries(Object.entries(result.from).map(([name, input]) => [name, rekeyedInput(input, change)])),
    limits: result.limits && change.limits(result.limits),
  });

export const writtenResult: WrittenPart<'result'> = {
  slot: 'results',
  key: 'results',
  about: 'Values that a trade formula gives.',
  hints: {
    result: 'The id; later limits and calculations may name it.',
    calculation: 'The formula; dryfit calc NAME explains it.',
    from: 'Its inputs: each a quantity, or the id of a reading or result above.',
  },
  schema: listSchema(schema),
  faultDepth: 3,
  resolve: (results, resolving) => results.map((result, number) => resolved(resolving, result, number)),
  sheet: (results) =>
    listItems(
      'ids',
      results.map((result) => ({ id: result.result, node: resultSheet(result) })),
    ),
  rekey: (results, change) => results.map((result) => rekeyed(result, change)),
  sourced: (results) =>
    results.flatMap(({ result, limits, source }, number) =>
      limits === undefined ? [] : [{ name: result, source, path: ['results', number, 'limits'] }],
    ),
  isWork: false,
};
