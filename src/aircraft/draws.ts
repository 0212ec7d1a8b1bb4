import { own } from '../fault/own.ts';
import type { Entry } from '../job/entry.ts';
import type { Batch, JobState } from '../job/state.ts';
import { minus, parseQuantity, type Quantity } from '../quantity/quantity.ts';
import type { StockLine } from './file.ts';
import type { BuildState, Draw } from './state.ts';

/*
 * How much mixes have taken from each lot. The list grows with each entry, so that nobody has to go through all jobs of the build. A batch
 * that was discarded counts too: its material is gone.
 */

const keyOf = (material: string, number: string): string => `${material} ${number}`;

const drawsOf = (job: JobState, batch: Batch): readonly (readonly [key: string, draw: Draw])[] => {
  const steps = [...job.plan.steps, ...job.former];
  const material = steps.find((one) => one.step === batch.step)?.mix?.material;
  return Object.entries(batch.lots).flatMap(([part, number]) => {
    const weight = own(batch.weights, part);
    return material === undefined || weight === undefined
      ? []
      : [[keyOf(material, number), { entry: batch.entry, weight }] as const];
  });
};

/** The draws without those of some batches, whichever lot they were weighed out of. */
const withoutDraws = (draws: BuildState['draws'], entries: ReadonlySet<string>): Record<string, readonly Draw[]> =>
  Object.fromEntries(
    Object.entries(draws).map(([key, list]) => [
      key,
      list.some(({ entry }) => entries.has(entry)) ? list.filter(({ entry }) => !entries.has(entry)) : list,
    ]),
  );

/** The build after a batch was mixed, or after a correction of a batch or of a lot, which may change every batch of the job. */
export const withDraws = (state: BuildState, job: JobState, entry: Entry): BuildState => {
  if (entry.type !== 'mix' && entry.type !== 'correct') return state;
  const changed = entry.type === 'mix' ? job.batches.filter((one) => one.entry === entry.id) : job.batches;
  if (changed.length === 0) return state;
  const isNew = entry.type === 'mix';
  const draws = isNew ? { ...state.draws } : withoutDraws(state.draws, new Set(changed.map((one) => one.entry)));
  for (const [key, draw] of changed.flatMap((batch) => drawsOf(job, batch)))
    draws[key] = [...(own(draws, key) ?? []), draw];
  return { ...state, draws };
};

/**
 * What is left of a lot: the quantity in stock less all draws. Negative where more was weighed out than the stock lists; `undefined` where
 * the units do not compare.
 */
export const leftOf = (
  state: BuildState,
  line: StockLine,
): { readonly left: Quantity; readonly of: Quantity } | undefined => {
  const { material, number, quantity } = line;
  const read = quantity === undefined ? undefined : parseQuantity(quantity);
  if (material === undefined || number === undefined || read?.ok !== true) return undefined;
  let left = read.value;
  for (const { weight } of own(state.draws, keyOf(material, number)) ?? []) {
    const drawn = parseQuantity(weight);
    if (!drawn.ok || drawn.value.unit.dimension !== left.unit.dimension) return undefined;
    left = minus(left, drawn.value);
  }
  return { left, of: read.value };
};
