import type { JobDraft } from './draft.ts';

/** Parts of a job that keep what was written, or that no entry is stamped in. */
const asWritten: ReadonlySet<string> = new Set(['plan', 'former', 'log', 'struck']);

const walk = (value: object, entry: string, when: string): void => {
  const stamp = value as { entry?: unknown; when?: unknown; doubtful?: unknown };
  if (stamp.entry === entry && typeof stamp.when === 'string') {
    stamp.when = when;
    // The clock may have been wrong; the person now says what the time was.
    delete stamp.doubtful;
  }
  for (const [key, one] of Object.entries(value))
    if (typeof one === 'object' && one !== null && key !== 'before' && key !== 'mixedTo')
      walk(one as object, entry, when);
};

/** Another time for everything that an entry did in the job. The log keeps the line as it was written. @param when RFC 3339. */
export const restamp = (draft: JobDraft, entry: string, when: string): void => {
  for (const [part, value] of Object.entries(draft))
    if (!asWritten.has(part) && typeof value === 'object' && value !== null) walk(value as object, entry, when);
};
