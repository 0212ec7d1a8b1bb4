import { stepOf } from '../procedure/plan.ts';
import { parseInstant } from '../quantity/time.ts';
import { lastGoodDay } from './lots.ts';
import { isDayOver } from './moment.ts';
import type { KnownNow } from './parts/part.ts';
import type { JobState, LotNamed } from './state.ts';
import type { Stamp } from './stamp.ts';

/** Why a lot should not have been used, as it is known now. */
export interface LotInDoubt {
  readonly number: string;
  /** A name for the reason. It changes where the reason changes, so that a disposition of one reason does not cover another. */
  readonly cause: string;
  readonly because: string;
}

type LotName = Pick<LotNamed, 'material' | 'number'>;

/** When and at which step a lot was used. */
type Use = Pick<Stamp, 'when'> & { readonly step: string };

/** True where somebody knew that the lot was expired: a departure or a nonconformance of its own says so, at the step of its use or at the mix before it. */
const isKnown = (job: JobState, { step }: Use): boolean => {
  const steps = [step, ...(stepOf(job.plan, step)?.inPotLifeOf ?? [])];
  const said = [
    ...job.departures.filter(({ code }) => code === 'lot-expired'),
    ...job.breaches.filter(({ codes }) => codes.includes('lot-expired')),
  ];
  return said.some(({ step: at }) => at !== undefined && steps.includes(at));
};

/**
 * Rule 7 of the design for lots: a lot that went into quarantine after it was used (a recall), and one whose last good day, put right since,
 * was over when it was used. Ends with the quarantine, or when the day is put right again.
 */
export const lotDoubts = (job: JobState, known: KnownNow, lot: LotName, use: Use): readonly LotInDoubt[] => {
  const { material, number } = lot;
  const when = parseInstant(use.when);
  if (!when.ok) return [];
  const stock = known.lot(material, number);
  const held = stock?.quarantine;
  const named = job.lots.findLast((one) => one.material === material && one.number === number);
  const until = lastGoodDay(named, stock);
  const isHeldSince = held !== undefined && held.ms >= when.value.ms;
  const isOver = until !== undefined && isDayOver(until, when.value) && !isKnown(job, use);
  return [
    ...(isHeldSince
      ? [
          {
            number,
            cause: `quarantine ${held.entry} ${material} ${number}`,
            because: `${material} ${number}, in quarantine since: ${held.because}`,
          },
        ]
      : []),
    ...(isOver
      ? [
          {
            number,
            cause: `good-until ${until} ${material} ${number}`,
            because: `${material} ${number}, good only until ${until}`,
          },
        ]
      : []),
  ];
};
