import { type Bound, limitRefs, type Limits } from '../quantity/limits.ts';
import type { Dimension, Unit } from '../quantity/units.ts';
import { shown } from './message.ts';
import { lookUp, type Named } from './names.ts';
import { countUnit } from './schema/leaves.ts';
import type { IsAbove, Resolving } from './resolving.ts';
import { report } from './subject.ts';
import type { Path } from './tree.ts';

/** Whether an id means several values here, one for each instance of its step, and one number is wanted. Reports it. */
export const isMany = ({ subject, draft }: Resolving, found: Named, id: string, path: Path): boolean => {
  const instances = subject.steps[found.step]?.for ?? [];
  const isOurs = draft.for.length > 0 && draft.for.every((instance) => instances.includes(instance));
  if (instances.length === 0 || isOurs) return false;
  const what = `${shown(id)} is there once for each of ${instances.join(', ')}, and one number is wanted`;
  report(subject, path, 'reference-many', what, 'give this step the same for:');
  return true;
};

/** The reading or result that an id names, if it is one number as seen from this step; undefined, with a message, if not. */
export const valueAt = (resolving: Resolving, id: string, path: Path, isAbove: IsAbove): Named | undefined => {
  const { subject, names } = resolving;
  const found = lookUp(subject, names.values, id, path, 'reading or result', isAbove);
  if (found === undefined || isMany(resolving, found, id, path)) return undefined;
  if (found.reading?.kind === 'text' || found.reading?.kind === 'choice') {
    const what = `the reading ${shown(id)} is a ${found.reading.kind}, and a number is wanted`;
    report(subject, path, 'reference-kind', what, 'name a reading in a unit, or a count');
    return undefined;
  }
  return found;
};

/** The unit in which a reading is entered. */
export const readingUnit = (named: Named | undefined): Unit | undefined =>
  named?.reading?.kind === 'quantity' ? named.reading.unit : named?.reading?.kind === 'count' ? countUnit : undefined;

/** The unit in which a reading is entered or a result is calculated, where it is known. */
export const unitOf = ({ resultUnits }: Resolving, named: Named | undefined): Unit | undefined =>
  named?.kind === 'result' ? resultUnits.get(named.id) : readingUnit(named);

/** Reports a reading that has several values where one is wanted. */
export const requireOneValue = ({ subject }: Resolving, named: Named | undefined, path: Path): void => {
  const { positions = [], times = 1 } = named?.reading ?? {};
  if (named === undefined || (positions.length < 2 && times < 2)) return;
  const several = positions.length > 1 ? `one for each of ${positions.join(', ')}` : `${times} of them`;
  const what = `the reading ${shown(named.id)} has several values, ${several}, and one is wanted`;
  report(subject, path, 'reference-many', what, 'make a result of it first, such as their mean or sum, and name that');
};

/** Reports a value, named by its id, that is not of one of these kinds of quantity. */
export const checkKind = (
  resolving: Resolving,
  named: Named | undefined,
  path: Path,
  wanted: readonly Dimension[],
): void => {
  const unit = unitOf(resolving, named);
  if (named === undefined || unit === undefined || wanted.length === 0 || wanted.includes(unit.dimension)) return;
  const what = `${shown(named.id)} is ${named.kind === 'result' ? 'calculated' : 'entered'} in ${unit.name}, and a ${wanted.join(' or ').replaceAll('-', ' ')} is wanted`;
  report(resolving.subject, path, 'unit-dimension', what, 'name a value of that kind');
};

const baseUnit = (bound: Bound | undefined): Unit | undefined =>
  bound !== undefined && !('ref' in bound.base) ? bound.base.unit : undefined;

/** Checks the ids in limits: each stands above, and is of the kind of quantity that is limited. */
export const checkLimits = (
  resolving: Resolving,
  limits: Limits | undefined,
  path: Path,
  isAbove: IsAbove,
  unit: Unit | undefined,
): void => {
  if (limits === undefined) return;
  const own = unit ?? baseUnit(limits.low) ?? baseUnit(limits.high);
  for (const ref of limitRefs(limits)) {
    const named = valueAt(resolving, ref, path, isAbove);
    requireOneValue(resolving, named, path);
    checkKind(resolving, named, path, own === undefined ? [] : [own.dimension]);
  }
};
