import type { Step } from '../procedure/model.ts';
import { materialNeed, wantsLot } from './lots.ts';
import type { JobState } from './state.ts';
import { stepStateOf, walkedSteps } from './step-state.ts';

/** True where it is written that a step was done without a lot: by a departure, or as a nonconformance of its own. */
const isKnownWithout = (job: JobState, { step, inPotLifeOf }: Step): boolean => {
  const steps = [step, ...inPotLifeOf];
  return (
    job.departures.some(({ code, step: at }) => code === 'lot-missing' && at !== undefined && steps.includes(at)) ||
    job.breaches.some(({ codes, step: at }) => codes.includes('lot-missing') && steps.includes(at))
  );
};

/**
 * The finished steps whose page says now that they take a material in hand, and whose lot nobody has named: the page of their time did not
 * ask for it. A lot that is named while there are such steps is theirs.
 */
export const untakenSteps = (job: JobState, material: string): readonly Step[] =>
  wantsLot(materialNeed(job, material))
    ? walkedSteps(job).filter(
        (step) =>
          step.materials.includes(material) &&
          stepStateOf(job, step.step).state === 'done' &&
          !job.taken.some(
            (one) => one.step === step.step && one.material === material && one.superseded === undefined,
          ) &&
          !isKnownWithout(job, step),
      )
    : [];
