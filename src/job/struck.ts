import type { JobState } from './state.ts';
import type { Struck } from './stamp.ts';

/** What corrections struck of one entry, oldest first. */
export const struckIn = ({ struck }: Pick<JobState, 'struck'>, entry: string): readonly Struck[] =>
  struck.filter((one) => one.entry === entry);
