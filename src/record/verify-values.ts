import type { RecordStep } from './document-step.ts';
import type { RecordDocument } from './document.ts';
import { passed, type Observation } from './observe.ts';
import { eachRecordedPart } from './parts/parts.ts';

const recheckStep = (step: RecordStep): readonly Observation[] =>
  eachRecordedPart.flatMap((part) => {
    const recorded = step[part.slot];
    return recorded === undefined ? [] : (part.recheck?.(recorded, step.step) ?? []);
  });

/** Verdicts decided again from the record's own limits and values, wherever both are there in full. */
export const verifyValues = (document: RecordDocument): readonly Observation[] => {
  const checked = document.steps.flatMap(recheckStep);
  const faults = checked.filter(({ level }) => level === 'fault');
  if (faults.length > 0) return faults;
  return [passed(`${checked.length} verdicts decided again, each with the same outcome`, 'steps')];
};
