import type { BuildState } from '../../aircraft/state.ts';
import type { OpenState } from '../open-state.ts';
import { changedStories, writeRecord, type RecordSigner } from './records.ts';

/** Writes the records that an entry makes necessary. The author signs them; where they are not a builder, the records remain owed. */
export const writeChangedRecords = (
  openState: OpenState,
  before: BuildState,
  type: string,
  signer: RecordSigner,
): { readonly folder?: string; readonly told: readonly string[] } => {
  const told: string[] = [];
  let folder: string | undefined;
  const jobs = changedStories(before, openState.state, type);
  const progress = openState.place.progress?.('records');
  for (const [index, job] of jobs.entries()) {
    progress?.(index + 1, jobs.length);
    const written = writeRecord(openState, job, signer);
    if (written.ok) folder = written.value;
    else told.push(`the record of ${job.id} is owed: ${written.fault.what}; ${written.fault.todo}`);
    if (!written.ok && openState.owed !== undefined) openState.owed = [...openState.owed, job.id];
  }
  return { told, ...(folder === undefined ? {} : { folder }) };
};
