import { stepOf } from '../../procedure/plan.ts';
import { msOf } from '../cure.ts';
import { lotDoubts, type LotInDoubt } from '../lot-doubts.ts';
import type { JobState, PartFitted } from '../state.ts';
import { walkedSteps } from '../step-state.ts';
import { jointDoubts } from './joint-doubts.ts';
import { supersede, withStep, type Doubt, type JobPart, type KnownNow } from './part.ts';

const lotNumber = (job: JobState, entry: string): string => job.lots.find((lot) => lot.entry === entry)?.number ?? '';

/** The doubt about a step, or about what is named `on`, that was done with a lot. */
const doubtOf = (on: string, step: string, entry: string, lot: LotInDoubt): Doubt => ({
  on,
  step,
  key: `${lot.cause} ${entry}`,
  what: `${step} was done with ${lot.because}`,
  because: lot.because,
  cause: `${lot.cause} ${step}`,
  lot: lot.number,
});

/** The joints of every batch that was mixed from a lot in doubt. */
const batchDoubts = (job: JobState, known: KnownNow): readonly Doubt[] =>
  job.batches
    .filter((batch) => batch.superseded === undefined && batch.discarded === undefined)
    .flatMap((batch) => {
      const material = stepOf(job.plan, batch.step)?.mix?.material ?? '';
      return [...new Set(Object.values(batch.lots))].flatMap((number) =>
        lotDoubts(job, known, { material, number }, batch).flatMap(({ cause, because }) =>
          jointDoubts(job, batch, {
            cause: `${cause} ${batch.batch}`,
            because: `${batch.batch}, of ${because}`,
            lot: number,
            on: batch.batch,
            what: `${batch.batch} was mixed from ${because}`,
          }),
        ),
      );
    });

const stepDoubts = (job: JobState, known: KnownNow): readonly Doubt[] =>
  job.taken
    .filter((one) => one.superseded === undefined)
    .flatMap((one) =>
      lotDoubts(job, known, { material: one.material, number: lotNumber(job, one.lot) }, one).map((lot) =>
        doubtOf(one.step, one.step, one.entry, lot),
      ),
    );

/** Lots of materials that no step asks for. Nobody knows at which step they were used, so the last step bears the doubt. */
const looseDoubts = (job: JobState, known: KnownNow): readonly Doubt[] => {
  const walked = walkedSteps(job);
  const asked = new Set(walked.flatMap((step) => [...step.materials, ...(step.mix ? [step.mix.material] : [])]));
  const step = walked.at(-1)?.step ?? '';
  return job.lots
    .filter(({ material }) => !asked.has(material))
    .flatMap((lot) =>
      lotDoubts(job, known, lot, { ...lot, step }).map((one) => ({
        ...doubtOf(lot.material, step, lot.entry, one),
        what: `this job was done with ${one.because}`,
      })),
    );
};

const partDoubt = (job: JobState, known: KnownNow, one: PartFitted): readonly Doubt[] => {
  const held = known.part(one.part, one.serial, one.lot)?.quarantine;
  // A part that was named while it was in quarantine needed a departure.
  if (held === undefined || held.ms < msOf(one.when)) return [];
  const step = one.step ?? walkedSteps(job).at(-1)?.step ?? '';
  const because = `${one.part} SN ${one.serial}, in quarantine since: ${held.because}`;
  const cause = `quarantine ${held.entry} ${one.part} ${one.serial}`;
  return [
    { on: one.step ?? one.part, step, key: `${cause} ${one.entry}`, what: `${step} has ${because}`, because, cause },
  ];
};

const partDoubts = (job: JobState, known: KnownNow): readonly Doubt[] =>
  job.fitted.filter((one) => one.superseded === undefined).flatMap((one) => partDoubt(job, known, one));

/** What a step takes in hand: the lots of its materials, and the parts that go in there. Both are asked for before it begins. */
export const takenInHand: JobPart = {
  wants: () => [],
  doubts: (job, known) => [
    ...batchDoubts(job, known),
    ...stepDoubts(job, known),
    ...looseDoubts(job, known),
    ...partDoubts(job, known),
  ],
  setAside: (draft, { step }, entry) => {
    supersede(
      draft.taken.filter((one) => one.step === step),
      entry,
    );
    supersede(
      draft.fitted.filter((one) => one.step === step),
      entry,
    );
  },
  rekey: (job, rename) => ({ taken: withStep(job.taken, rename), fitted: withStep(job.fitted, rename) }),
};
