import type { Entry } from './entry.ts';
import type { Stamp } from './state.ts';

/**
 * An entry that the rules refuse at its place among what others wrote at the same time. It is kept and shown, and changes nothing until
 * a person settles it: by letting it stand, or not.
 */
export interface Contradiction {
  readonly entry: Entry;
  /** The job that it belongs to; for a start, the one that it began. */
  readonly job: string;
  /** The step that it is about, where it is about one. */
  readonly step?: string;
  /** Why the rules refuse it there. */
  readonly code: string;
  readonly why: string;
  readonly settled?: Stamp & { readonly kept: boolean };
}

/** `ines, finish dry-fit (writer:12): …`, for a person. */
export const contradictionText = ({ entry, step, why }: Contradiction): string =>
  `${entry.type}${step === undefined ? '' : ` ${step}`} by ${entry.by} (${entry.id}) contradicts what was done elsewhere at the same time: ${why}`;

const yes: readonly string[] = ['yes', 'true'];
const no: readonly string[] = ['no', 'false'];

/** What `keep` says of a contradiction: whether it stands. Its own entry says yes, another that stands in its place says no. */
export const keepOf = (entry: string, keep: string, isEntry: (id: string) => boolean): boolean | undefined => {
  if (yes.includes(keep) || keep === entry) return true;
  return no.includes(keep) || isEntry(keep) ? false : undefined;
};
