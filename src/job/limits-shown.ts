import { own } from '../fault/own.ts';
import type { Reading } from '../procedure/model.ts';
import type { Plan } from '../procedure/plan.ts';
import { limitRefs, type FixedLimits, type Limits } from '../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../quantity/quantity.ts';
import { shownLimits } from '../quantity/shown-limits.ts';
import { labelIn } from './labels.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';
import { limitsNow, ownLimits } from './values.ts';

/** What the individual tool in use for a kind shows, where the build says so. */
export const resolutionOf = (
  job: JobState,
  { tools }: Pick<Surroundings, 'tools'>,
  kind: string | undefined,
): Quantity | undefined => {
  const tool = kind === undefined ? undefined : own(job.tools, kind);
  const text = tool === undefined ? undefined : own(tools, tool)?.resolution;
  const read = text === undefined ? undefined : parseQuantity(text);
  return read?.ok ? read.value : undefined;
};

/** Limits with labels for ids: `moisture-forward ± 2 %` becomes `Moisture, forward ± 2 %`. */
export const limitsInLabels = (plan: Plan, limits: Limits): string =>
  limitRefs(limits).reduce((text, id) => text.replaceAll(id, labelIn(plan, id)), limits.text);

/** The limits of a reading as numbers to act on; nothing where it has none, or while they wait for a value. */
export const readingLimits = (
  job: JobState,
  reading: Reading,
  around: Pick<Surroundings, 'tools'>,
): FixedLimits | undefined => {
  const limits = ownLimits(reading);
  const fixed = limits && limitsNow(job, limits);
  return fixed && shownLimits(fixed, resolutionOf(job, around, reading.tool));
};
