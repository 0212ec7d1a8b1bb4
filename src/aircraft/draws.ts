import { own } from '../fault/own.ts';
import type { Entry } from '../job/entry.ts';
import type { Batch, JobState } from '../job/state.ts';
import { minus, parseQuantity, type Quantity } from '../quantity/quantity.ts';
import type { StockLine } from './file.ts';
import type { BuildState, Draw } from './state.ts';

/*
 * What mixes have drawn from each lot: kept as it is entered, so that nobody goes through all the jobs of a build for it. A cup that was
 * thrown away was drawn all the same.
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

/** The build after a batch was mixed, or its weights were corrected. */
export const withDraws = (state: BuildState, job: JobState, entry: Entry): BuildState => {
  const mixed = entry.type === 'mix' ? entry.id : entry.type === 'correct' ? entry.data.entry : undefined;
  const batch = mixed === undefined ? undefined : job.batches.find((one) => one.entry === mixed);
  if (!batch) return state;
  const draws: Record<string, readonly Draw[]> = { ...state.draws };
  const mine = drawsOf(job, batch);
  for (const key of new Set(mine.map(([lot]) => lot)))
    draws[key] = [
      ...(own(state.draws, key) ?? []).filter((draw) => draw.entry !== batch.entry),
      ...mine.filter(([lot]) => lot === key).map(([, draw]) => draw),
    ];
  return { ...state, draws };
};

/** What of a lot is left of the quantity that was taken in: below nothing where more was weighed out; unknown where they do not compare. */
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
