import type { Entry } from './entry.ts';
import type { Stamp } from './stamp.ts';

/**
 * An entry that the rules refuse because of what somebody wrote on another machine at the same time. The entry is kept and shown, and
 * changes nothing until a person settles it: the entry is then kept for good, or given up.
 */
export interface Contradiction {
  readonly entry: Entry;
  /** The job that the entry belongs to; for a start, the job that it began. */
  readonly job: string;
  /** The step that the entry is about, where it is about one. */
  readonly step?: string;
  /** The code of the refusal. */
  readonly code: string;
  readonly why: string;
  readonly settled?: Stamp & { readonly kept: boolean };
}

/** A contradiction in words: `finish dry-fit by ines (writer:12) contradicts what was done elsewhere at the same time: …`. */
export const contradictionText = ({ entry, step, why }: Contradiction): string =>
  `${entry.type}${step === undefined ? '' : ` ${step}`} by ${entry.by} (${entry.id}) contradicts what was done elsewhere at the same time: ${why}`;

const yes: readonly string[] = ['yes', 'true'];
const no: readonly string[] = ['no', 'false'];

/**
 * Whether the refused entry is kept: `keep` says yes or no, or names an entry. The refused entry itself means yes, another existing one no;
 * anything else gives `undefined`.
 */
export const keepOf = (entry: string, keep: string, isEntry: (id: string) => boolean): boolean | undefined => {
  if (yes.includes(keep) || keep === entry) return true;
  return no.includes(keep) || isEntry(keep) ? false : undefined;
};
