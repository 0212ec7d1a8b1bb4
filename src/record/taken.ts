import * as z from 'zod/mini';
import type { JobState, PartFitted } from '../job/state.ts';
import { struckIn } from '../job/struck.ts';
import type { Step } from '../procedure/model.ts';
import { present, recordStampOf, unlessEmpty } from './plain.ts';
import { optionalShape, setAside, stamp, struck, textShape, type Frozen } from './shapes.ts';
import { struckOf } from './struck.ts';

/** A material that a step took in hand besides those of a mix, with its lot where one was named. */
const materialShape = z.strictObject({
  material: textShape,
  lot: optionalShape(textShape),
  /** The work with which the lot was first in hand here. */
  taken: optionalShape(z.strictObject(stamp)),
  'set-aside': setAside,
});

/** A part that went in, with its serial number where one was named. */
export const recordPartShape = z.strictObject({
  part: textShape,
  serial: optionalShape(textShape),
  lot: optionalShape(textShape),
  named: optionalShape(z.strictObject(stamp)),
  struck: optionalShape(z.array(struck)),
  'set-aside': setAside,
});

/** The keys of a recorded step for what it took in hand. */
export const takenShape = {
  materials: optionalShape(z.array(materialShape)),
  parts: optionalShape(z.array(recordPartShape)),
};

type Material = Frozen<z.infer<typeof materialShape>>;
type RecordPart = Frozen<z.infer<typeof recordPartShape>>;

const numberOf = (job: JobState, entry: string): string | undefined =>
  job.lots.find((lot) => lot.entry === entry)?.number;

const fittedOf = (job: JobState, { part, serial, lot, superseded, ...one }: PartFitted): RecordPart =>
  present({
    part,
    serial,
    lot,
    named: recordStampOf(one),
    struck: unlessEmpty(struckOf(struckIn(job, one.entry))),
    'set-aside': superseded,
  });

const materialsOf = (job: JobState, step: Step): readonly Material[] => {
  const taken = job.taken.filter((one) => one.step === step.step);
  return [
    ...taken.map(({ material, lot, superseded, ...one }) =>
      present({ material, lot: numberOf(job, lot), taken: recordStampOf(one), 'set-aside': superseded }),
    ),
    ...step.materials
      .filter((name) => !taken.some(({ material }) => material === name))
      .map((material) => ({ material })),
  ];
};

/** What a step took in hand: its materials with their lots, and the parts that went in. */
export const takenOf = (
  job: JobState,
  step: Step,
): { readonly materials: readonly Material[] | undefined; readonly parts: readonly RecordPart[] | undefined } => {
  const fitted = job.fitted.filter((one) => one.step === step.step);
  const plain = step.parts.filter((name) => !fitted.some(({ part }) => part === name)).map((part) => ({ part }));
  return {
    materials: unlessEmpty(materialsOf(job, step)),
    parts: unlessEmpty([...fitted.map((one) => fittedOf(job, one)), ...plain]),
  };
};

/** Parts that were named and that no step of the procedure fits. */
export const partsOfNoStep = (job: JobState): readonly RecordPart[] =>
  job.fitted.filter(({ step }) => step === undefined).map((one) => fittedOf(job, one));
