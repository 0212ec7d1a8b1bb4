import { saidLately, type SaidEntry } from '../../../job/said-lately.ts';
import type { JobState } from '../../../job/state.ts';
import type { JobVerb } from '../../../job/verbs.ts';
import { correctItem, type MenuItem } from './item.ts';

/** How many of the latest entries are offered. */
const latest = 9;

/** What a person calls an entry. */
const named: Partial<Record<JobVerb, string>> = {
  read: 'value',
  tighten: 'fastener',
  mix: 'batch',
  break: 'sample',
  use: 'tool',
  depart: 'departure',
  dispose: 'disposition',
  loose: 'loose item',
  close: 'closing of a loose item',
  skip: 'step left for later',
  advise: 'advice',
  park: 'parking',
  undo: 'undoing',
};

/**
 * The value of a reading and the weights of a batch are corrected where values are; the digits there keep their meaning. How a value was
 * calculated is never typed.
 */
const isElsewhere = (verb: JobVerb, field: string): boolean =>
  field === 'calculated' || (verb === 'read' && field === 'value') || (verb === 'mix' && field.startsWith('weights.'));

/** `why it is taken again, value 14:02`: what the field is for comes first, because a narrow screen cuts the end. */
const labelOf = ({ logged, verb }: SaidEntry, about: string): string =>
  `${about.split(/[,;]/)[0] ?? ''}, ${named[verb] ?? verb} ${logged.when.slice(11, 16)}`;

/** Whatever else was said in the latest entries: each field by what it is for, newest first. */
export const saidItems = (job: JobState): readonly MenuItem[] =>
  saidLately(job, latest).flatMap((entry) =>
    entry.fields
      .filter(({ field }) => !isElsewhere(entry.verb, field))
      .map(({ field, about, value = 'nothing' }) =>
        correctItem(job, entry.logged.entry, labelOf(entry, about), value, undefined, field),
      ),
  );
