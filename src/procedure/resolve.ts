import { parseLimits } from '../quantity/limits.ts';
import type { Unit } from '../quantity/units.ts';
import type { MessageCode } from './codes.ts';
import { shown } from './message.ts';
import type { Step } from './model.ts';
import { lookUp, type Names } from './names.ts';
import { resolvedParts } from './parts/parts.ts';
import { isEarlier, type Resolving } from './resolving.ts';
import { countUnit, given } from './schema/leaves.ts';
import { checkStepNames } from './step-names.ts';
import { type Subject, report } from './subject.ts';
import { checkLimits, isMany, readingUnit } from './values.ts';

/** The step's condition, its limits read in the unit of the reading that decides; undefined, with a message, where it makes no sense. */
const onlyIfOf = (resolving: Resolving): Step['onlyIf'] => {
  const { subject, names, index, draft, path } = resolving;
  if (draft.onlyIf === undefined) return undefined;
  const { reading: id, is } = draft.onlyIf;
  const at = [...path, 'only-if', 'reading'];
  const found = lookUp(subject, names.values, id, at, 'reading', isEarlier(index));
  if (found === undefined || isMany(resolving, found, id, at)) return undefined;
  const unit = readingUnit(found);
  if (found.kind !== 'reading' || (found.reading !== undefined && unit === undefined)) {
    const what = `${shown(id)} is no reading of a number`;
    report(subject, at, 'reference-kind', what, 'name a reading in a unit, or a count');
    return undefined;
  }
  if (unit === undefined) return undefined;
  const limits = parseLimits(is, unit === countUnit ? { unit, bare: unit } : { unit });
  if (limits.ok) {
    checkLimits(resolving, limits.value, [...path, 'only-if', 'is'], isEarlier(index), unit);
    return { reading: id, is: limits.value };
  }
  const { code, what, todo } = limits.fault;
  report(subject, [...path, 'only-if', 'is'], code as MessageCode, what, todo);
  return undefined;
};

/** The steps of a file with everything that they name looked up. Reports what leads nowhere. */
export const resolveSteps = (subject: Subject, names: Names): readonly Step[] => {
  const resultUnits = new Map<string, Unit>();
  return subject.steps.map((draft, index) => {
    const resolving: Resolving = { subject, names, index, draft, path: ['steps', index], resultUnits };
    checkStepNames(resolving);
    return given({ ...draft, ...resolvedParts(resolving), onlyIf: onlyIfOf(resolving) });
  });
};
