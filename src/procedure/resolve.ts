import { type Limits, parseLimits } from '../quantity/limits.ts';
import { type Unit, unitNamed } from '../quantity/units.ts';
import type { MessageCode } from './codes.ts';
import { inputOf, resolveResult } from './inputs.ts';
import { shown } from './message.ts';
import type { Step, Tighten } from './model.ts';
import { lookUp, type Named, type Names } from './names.ts';
import { countUnit, given } from './schema/leaves.ts';
import { checkGlue, checkSteps, isEarlier, isEarlierOrHere, type Resolving } from './step-names.ts';
import { type Subject, report } from './subject.ts';
import { checkLimits, isMany, readingUnit } from './values.ts';

/** Limits in the terms of the reading that decides; undefined and told where they are none. */
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

const tightenOf = (resolving: Resolving): Tighten | undefined => {
  const { draft, index, path } = resolving;
  if (draft.tighten === undefined) return undefined;
  const { drag, ...rest } = draft.tighten;
  const isAbove = isEarlierOrHere(index);
  const check = (limits: Limits | undefined, key: string, unit: string): void =>
    checkLimits(resolving, limits, [...path, 'tighten', key], isAbove, unitNamed(unit));
  check(rest.torque, 'torque', 'N·m');
  check(rest.fingerTight, 'finger-tight', 'turns');
  check(rest.past, 'past', 'turns');
  if (drag === undefined) return rest;
  if (drag === 'measured') return { ...rest, drag };
  return given({ ...rest, drag: inputOf(resolving, drag, [...path, 'tighten', 'drag'], isAbove, ['torque']) });
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
export const resolveSteps = (subject: Subject, names: Names): readonly Step[] => {
  const resultUnits = new Map<string, Unit>();
  return subject.steps.map((draft, index) => {
    const resolving: Resolving = { subject, names, index, draft, path: ['steps', index], resultUnits };
    const results = draft.results.map((result, number) => resolveResult(resolving, result, number));
    checkReadings(resolving);
    checkLimits(resolving, draft.mix?.batch, [...resolving.path, 'mix', 'batch'], isEarlierOrHere(index), undefined);
    checkGlue(resolving);
    checkSteps(resolving);
    return given({
      ...draft,
      onlyIf: onlyIfOf(resolving),
      results,
      tighten: tightenOf(resolving),
    });
  });
};
