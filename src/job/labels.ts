import type { Reading } from '../procedure/model.ts';
import { readingOf, resultOf, stepOf, type Plan } from '../procedure/plan.ts';
import type { Slot } from './values.ts';

/** An id as words, where its author wrote no label: `empty-weight` becomes `Empty weight`. */
const asWords = (id: string): string => {
  const words = id.replaceAll('-', ' ').replaceAll('/', ', ');
  return words.slice(0, 1).toUpperCase() + words.slice(1);
};

/** What a reading is called: the question that its author wrote. */
export const readingLabel = ({ ask, reading }: Pick<Reading, 'ask' | 'reading'>): string => ask ?? asWords(reading);

/** Which of its values is meant: `root`, `time 2 of 3`; empty where it has one alone. */
export const slotWords = ({ times }: Pick<Reading, 'times'>, { position, n }: Slot): string =>
  [position, times > 1 ? `time ${n} of ${times}` : undefined].filter((word) => word !== undefined).join(', ');

/** The same with the name of the reading before it: `Gap along the flange, root`. */
export const slotLabel = (reading: Reading, slot: Slot): string =>
  [readingLabel(reading), slotWords(reading, slot)].filter((word) => word !== '').join(', ');

/** What a value is called that limits or calculations name by its id. */
export const labelIn = (plan: Plan, id: string): string => {
  const reading = readingOf(plan, id)?.reading;
  return reading ? readingLabel(reading) : asWords(resultOf(plan, id)?.result.result ?? id);
};

/** The title of a step; its id where the page has no such step. */
export const stepLabel = (plan: Plan, id: string): string => stepOf(plan, id)?.title ?? id;
