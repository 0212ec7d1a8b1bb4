import type { JobState, PartFitted } from '../../job/state.ts';
import { stepOf } from '../../procedure/plan.ts';
import { groundWith, rest, workWith, type Rest } from './rest.ts';
import type { Ground } from '../over.ts';
import type { Trail } from './trail.ts';

const fittedRests = (job: JobState, one: PartFitted): readonly Rest[] => {
  const lot = one.lot === undefined ? '' : `, lot ${one.lot}`;
  const step = one.step === undefined ? undefined : stepOf(job.plan, one.step);
  const { superseded } = one;
  return [
    rest(job, step, 'part', `${one.part} SN ${one.serial}${lot}`, one, { superseded }),
    ...(one.step === undefined ? [] : workWith(job, { ...one, step: one.step })),
  ];
};

const fittedGrounds = (job: JobState, one: PartFitted): readonly Ground[] =>
  one.step === undefined ? [] : groundWith(job, { ...one, step: one.step });

/** Parts without serial numbers: the work of every step that names them. */
const plainRests = (job: JobState, part: string): readonly Rest[] =>
  job.plan.steps
    .filter(
      (step) => step.parts.includes(part) && !job.fitted.some((one) => one.part === part && one.step === step.step),
    )
    .flatMap(({ step }) => workWith(job, { ...job.started, step }));

const plainGrounds = (job: JobState, part: string): readonly Ground[] =>
  job.plan.steps
    .filter((step) => step.parts.includes(part))
    .flatMap(({ step }) => groundWith(job, { ...job.started, step }));

/** The serial numbers that a job named, each with the step where the part went in. */
export const serialTrails = (job: JobState): readonly Trail[] =>
  job.fitted.map((one) => ({
    of: { kind: 'serial', part: one.part, serial: one.serial },
    names: [one.serial, ...(one.lot === undefined ? [] : [one.lot])],
    rests: fittedRests(job, one),
    grounds: fittedGrounds(job, one),
  }));

/** The parts of a job by their numbers: those with a serial number, and the steps where others went in. */
export const partTrails = (job: JobState): readonly Trail[] => {
  const numbers = new Set([...job.fitted.map(({ part }) => part), ...job.plan.steps.flatMap(({ parts }) => parts)]);
  return [...numbers].map((part) => ({
    of: { kind: 'part', part },
    names: [part],
    rests: [
      ...job.fitted.filter((one) => one.part === part).flatMap((one) => fittedRests(job, one)),
      ...plainRests(job, part),
    ],
    grounds: plainGrounds(job, part),
  }));
};
