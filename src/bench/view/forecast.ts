import Fraction from 'fraction.js';
import { decideJob } from '../../job/decide.ts';
import { isJobCommand, readCommand } from '../../job/parse.ts';
import type { Data } from '../../job/entry.ts';
import type { Verb } from '../../job/verbs.ts';
import { limitsNow } from '../../job/values.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import type { Fault } from '../../fault/fault.ts';
import { makeQuantity, plus, scale, type Quantity } from '../../quantity/quantity.ts';
import { printInstant } from '../../quantity/time.ts';
import { unitNamed } from '../../quantity/units.ts';
import { cupUnit } from '../session/part-forms.ts';
import type { Placed } from './job.ts';

/**
 * What the engine would answer to an act now: asked beforehand, so that nobody mixes glue or walks to the inspector for a refusal. The
 * engine's decision is pure; asking it changes nothing.
 */
export const wouldRefuse = ({ job, around, facts }: Placed, by: string, verb: Verb, data: Data): Fault | undefined => {
  const at = printInstant(facts.now.ms, facts.now.offset);
  const read = readCommand({ verb, job: job.id, by, at, data });
  if (!read.ok || !isJobCommand(read.value)) return undefined;
  const decided = decideJob(job, read.value, around);
  return decided.ok || decided.fault.kind !== 'refused' ? undefined : decided.fault;
};

/** A batch of a size that the procedure wants, in its exact ratio: what is put to the engine before anything is weighed. */
const exactBatch = ({ job }: Placed, mix: Mix): Readonly<Record<string, string>> => {
  const limits = mix.batch && limitsNow(job, mix.batch);
  const [low, high] = [limits?.low?.at, limits?.high?.at];
  const half = new Fraction(1, 2);
  const total: Quantity =
    low && high
      ? scale(plus(low, high), half)
      : (low ?? high ?? makeQuantity(new Fraction(100), unitNamed(cupUnit(mix))));
  const shares = mix.ratio.map(({ part, share }) => ({ part, share: new Fraction(share) }));
  const sum = shares.reduce((all, { share }) => all.add(share), new Fraction(0));
  return Object.fromEntries(
    shares.map(({ part, share }) => [part, makeQuantity(total.amount.mul(share).div(sum), total.unit).text]),
  );
};

/** Whether the opening of a step, or the mix it begins with, would be refused; helpers are named when it begins. */
export const openingRefused = (here: Placed, by: string, step: Step): Fault | undefined => {
  const refused = step.mix
    ? wouldRefuse(here, by, 'mix', { step: step.step, weights: exactBatch(here, step.mix), sample: 'S' })
    : wouldRefuse(here, by, 'begin', { step: step.step });
  return refused?.code === 'helper-missing' || refused?.code === 'lot-missing' ? undefined : refused;
};
