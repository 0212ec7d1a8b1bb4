import type { IdChange } from './id-change.ts';
import type { Step } from './model.ts';
import { rekeyedParts } from './parts/parts.ts';
import { given } from './schema/leaves.ts';

const one = (change: IdChange, id: string): string => change.steps([id])[0] ?? id;

/** A step whose ids, and every reference to others, are changed alike. */
export const withIds = (step: Step, change: IdChange): Step =>
  given({
    ...step,
    ...rekeyedParts(step, change),
    step: change.own.step(step.step),
    onlyIf: step.onlyIf && {
      reading: change.value(step.onlyIf.reading),
      is: change.limits(step.onlyIf.is),
    },
    inPotLifeOf: change.steps(step.inPotLifeOf),
    afterStage: step.afterStage && { ...step.afterStage, cures: change.steps(step.afterStage.cures) },
    noLaterThan: step.noLaterThan && { ...step.noLaterThan, after: change.steps(step.noLaterThan.after) },
    backTo: step.backTo === undefined ? undefined : one(change, step.backTo),
    closes: change.items(step.closes),
  });
