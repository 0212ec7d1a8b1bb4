import { parseQuantity } from '../quantity/quantity.ts';
import { type Bound, limitRefs, type Limits, parseLimits } from '../quantity/limits.ts';
import { findUnit, type Unit } from '../quantity/units.ts';
import type { MessageCode } from './codes.ts';
import { shown } from './message.ts';
import type { Result, ResultInput, Step, Tighten } from './model.ts';
import { lookUp, type Named, type Names } from './names.ts';
import { checkGlue, checkSteps, isEarlier, isEarlierOrHere, type Resolving } from './step-names.ts';
import { countUnit, given } from './schema/leaves.ts';
import type { ResultDraft } from './schema/step.ts';
import { type Subject, tell } from './subject.ts';
import type { Path } from './tree.ts';

/** Turns drafts into steps: what names a reading, a result, a step is looked up, and told where it leads nowhere. */

/** Named from outside the steps that have it once for each: no one number is meant. */
const isMany = ({ subject, draft }: Resolving, found: Named, id: string, path: Path): boolean => {
  const instances = subject.steps[found.step]?.for ?? [];
  const isOurs = draft.for.length > 0 && draft.for.every((instance) => instances.includes(instance));
  if (instances.length === 0 || isOurs) return false;
  const what = `${shown(id)} is there once for each of ${instances.join(', ')}, and one number is wanted`;
  tell(subject, path, 'reference-many', what, 'give this step the same for:');
  return true;
};

/** A value that stands for one number: one reading or result, seen from this step. Undefined where it is none, and told. */
const valueAt = (
  resolving: Resolving,
  id: string,
  path: Path,
  isAbove: (found: Named) => boolean,
): Named | undefined => {
  const { subject, names, draft } = resolving;
  const found = lookUp(subject, names.values, id, path, 'reading or result', isAbove);
  if (found === undefined) return undefined;
  if (isMany(resolving, found, id, path)) return undefined;
  if (found.reading?.kind === 'text' || found.reading?.kind === 'choice') {
    const what = `the reading ${shown(id)} is a ${found.reading.kind}, and a number is wanted`;
    tell(subject, path, 'reference-kind', what, 'name a reading in a unit, or a count');
    return undefined;
  }
  return found;
};

const unitOf = (named: Named | undefined): Unit | undefined =>
  named?.reading?.kind === 'quantity' ? named.reading.unit : named?.reading?.kind === 'count' ? countUnit : undefined;

const baseUnit = (bound: Bound | undefined): Unit | undefined =>
  bound !== undefined && !('ref' in bound.base) ? bound.base.unit : undefined;

/** Ids in limits: each stands above, and is of the kind of quantity that is limited. */
const checkLimits = (
  resolving: Resolving,
  limits: Limits | undefined,
  path: Path,
  isAbove: (found: Named) => boolean,
  unit: Unit | undefined,
): void => {
  if (limits === undefined) return;
  const own = unit ?? baseUnit(limits.low) ?? baseUnit(limits.high);
  for (const ref of limitRefs(limits)) {
    const named = unitOf(valueAt(resolving, ref, path, isAbove));
    if (named === undefined || own === undefined || named.dimension === own.dimension) continue;
    const what = `${shown(ref)} is entered in ${named.name}, what it limits in ${own.name}`;
    tell(resolving.subject, path, 'unit-dimension', what, 'name a value of the same kind');
  }
};

/** Limits in the terms of the reading that decides; undefined and told where they are none. */
const onlyIfOf = (resolving: Resolving): Step['onlyIf'] => {
  const { subject, names, index, draft, path } = resolving;
  if (draft.onlyIf === undefined) return undefined;
  const { reading: id, is } = draft.onlyIf;
  const at = [...path, 'only-if', 'reading'];
  const found = lookUp(subject, names.values, id, at, 'reading', isEarlier(index));
  if (found === undefined || isMany(resolving, found, id, at)) return undefined;
  const unit = unitOf(found);
  if (found.kind !== 'reading' || (found.reading !== undefined && unit === undefined)) {
    const what = `${shown(id)} is no reading of a number`;
    tell(subject, at, 'reference-kind', what, 'name a reading in a unit, or a count');
    return undefined;
  }
  if (unit === undefined) return undefined;
  const limits = parseLimits(is, unit === countUnit ? { unit, bare: unit } : { unit });
  if (limits.ok) return { reading: id, is: limits.value };
  const { code, what, todo } = limits.fault;
  tell(subject, [...path, 'only-if', 'is'], code as MessageCode, what, todo);
  return undefined;
};

/** A quantity, or the id of a value above. */
const inputOf = (resolving: Resolving, typed: string, path: Path, isAbove: (found: Named) => boolean): ResultInput => {
  const quantity = parseQuantity(typed);
  if (quantity.ok) return { kind: 'quantity', quantity: quantity.value };
  if (resolving.names.charts.named.has(typed)) return { kind: 'text', text: typed };
  if (/^[a-z]/.test(typed)) {
    valueAt(resolving, typed, path, isAbove);
    return { kind: 'id', id: typed };
  }
  const { code, what, todo } = quantity.fault;
  tell(resolving.subject, path, code as MessageCode, what, todo);
  return { kind: 'text', text: typed };
};

const resultOf = (resolving: Resolving, draft: ResultDraft, index: number): Result => {
  const { names, path } = resolving;
  const at = [...path, 'results', index];
  const own = names.values.named.get(draft.result)?.rank ?? Infinity;
  const isAbove = (found: Named): boolean => found.rank < own;
  const inputs = Object.entries(draft.with).map(([name, typed]) => [
    name,
    inputOf(resolving, typed, [...at, 'with', name], isAbove),
  ]);
  checkLimits(resolving, draft.limits, [...at, 'limits'], isAbove, undefined);
  return { ...draft, with: Object.fromEntries(inputs) as Result['with'] };
};

const dragOf = (resolving: Resolving, typed: string | undefined): Tighten['drag'] => {
  if (typed === undefined || typed === 'measured') return typed;
  const at = [...resolving.path, 'tighten', 'drag'];
  const drag = inputOf(resolving, typed, at, isEarlierOrHere(resolving.index));
  if (drag.kind === 'quantity' && drag.quantity.unit.dimension !== 'torque')
    tell(
      resolving.subject,
      at,
      'unit-dimension',
      `${shown(typed)} is no torque`,
      'write it in N·m or in·lb, or measured',
    );
  return drag;
};

const tightenOf = (resolving: Resolving): Tighten | undefined => {
  const { draft, index, path } = resolving;
  if (draft.tighten === undefined) return undefined;
  const { drag, ...rest } = draft.tighten;
  const torque = findUnit('N·m');
  checkLimits(resolving, rest.torque, [...path, 'tighten', 'torque'], isEarlierOrHere(index), torque);
  return given({ ...rest, drag: dragOf(resolving, drag) });
};

const checkReadings = (resolving: Resolving): void => {
  const { names, draft, index, path } = resolving;
  for (const [number, reading] of draft.readings.entries()) {
    if (!('limits' in reading)) continue;
    const own = names.values.named.get(reading.reading)?.rank ?? Infinity;
    const isAbove = (found: Named): boolean =>
      found.step < index || (found.step === index && (found.kind === 'result' || found.rank < own));
    const unit = reading.kind === 'quantity' ? reading.unit : countUnit;
    checkLimits(resolving, reading.limits, [...path, 'readings', number, 'limits'], isAbove, unit);
  }
};

/** The steps of a file with everything they name looked up; tells what leads nowhere. */
export const resolveSteps = (subject: Subject, names: Names): readonly Step[] =>
  subject.steps.map((draft, index) => {
    const resolving: Resolving = { subject, names, index, draft, path: ['steps', index] };
    checkReadings(resolving);
    checkGlue(resolving);
    checkSteps(resolving);
    return given({
      ...draft,
      onlyIf: onlyIfOf(resolving),
      results: draft.results.map((result, number) => resultOf(resolving, result, number)),
      tighten: tightenOf(resolving),
    });
  });
