import { timeLeaf } from '../compare/sheet.ts';
import { duration } from '../schema/leaves.ts';
import type { WrittenPart } from './part.ts';

export const writtenWait: WrittenPart<'wait'> = {
  slot: 'wait',
  key: 'wait',
  about: 'A plain wait by the clock before the step may be finished: 30 min.',
  hints: {},
  schema: duration,
  faultDepth: 1,
  resolve: (wait) => wait,
  sheet: timeLeaf,
  isWork: false,
};
