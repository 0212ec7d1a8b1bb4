import type { Act } from '../job/acts/act.ts';
import { jobActs } from '../job/acts/all.ts';
import type { DataOf, Entry } from '../job/entry.ts';
import { isJobVerb, isVerb, type JobVerb } from '../job/verbs.ts';
import { buildActs } from './acts/all.ts';

/** What an entry says, in a few words, for the person who entered it; `undefined` where the next screen shows it anyway. */
export const entryWords = ({ type, data }: Pick<Entry, 'type' | 'data'>): string | undefined => {
  if (!isVerb(type)) return undefined;
  const { words } = (isJobVerb(type) ? jobActs[type] : buildActs[type]) as unknown as Act<JobVerb>;
  return words(data as DataOf<JobVerb>);
};
