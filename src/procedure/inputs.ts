import { suggest } from '../fault/nearest.ts';
import { type Limits, parseLimits } from '../quantity/limits.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { type Dimension, type Unit, unitNamed } from '../quantity/units.ts';
import type { Calculation, InputSpec } from '../trade/calculation.ts';
import { calculations, findCalculation } from '../trade/calculations.ts';
import type { MessageCode } from './codes.ts';
import { listed, shown } from './message.ts';
import type { Result, ResultInput } from './model.ts';
import { lookUp, type Named } from './names.ts';
import { resultUnitOf } from './result-unit.ts';
import { given } from './schema/leaves.ts';
import type { ResultDraft } from './schema/step.ts';
import type { Resolving } from './step-names.ts';
import { report } from './subject.ts';
import type { Path } from './tree.ts';
import { checkKind, checkLimits, tellSeveral, unitOf, valueAt } from './values.ts';

type IsAbove = (found: Named) => boolean;

const idPattern = /^[a-z](?:[a-z0-9-]|<each>)*$/;

/** A quantity of one of these kinds, or the id of such a value above; told where it is neither. */
export const inputOf = (
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
  if (idPattern.test(typed)) {
    const named = valueAt(resolving, typed, path, isAbove);
    if (many !== true) tellSeveral(resolving, named, path);
    checkKind(resolving, named, path, wanted);
    return { kind: 'id', id: typed };
  }
  const fault = read[0]?.ok === false ? read[0].fault : undefined;
  if (fault !== undefined) report(resolving.subject, path, fault.code as MessageCode, fault.what, fault.todo);
  return { kind: 'text', text: typed };
};

/** A chart of the procedure, by name, as the points that the calculation reads. */
const chartOf = ({ subject, names }: Resolving, typed: string, path: Path): ResultInput => {
  const chart = subject.head.charts.find((one) => one.chart === typed);
  if (chart !== undefined) return { kind: 'text', text: chart.of.map(({ x, y }) => `${x.text}; ${y.text}`).join('; ') };
  if (idPattern.test(typed)) lookUp(subject, names.charts, typed, path, 'chart', () => true);
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

/** A result with its inputs understood: what its calculation takes, from values that stand above it. */
export const resolveResult = (resolving: Resolving, draft: ResultDraft, index: number): Result => {
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
    return [name, inputOf(resolving, typed, at, isAbove, dimensionsOf(spec), spec)];
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

/** Limits on what a calculation gives, in its own kind of unit where that is known. */
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
