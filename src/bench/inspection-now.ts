import type { BuildState } from '../aircraft/state.ts';
import { memoisedBy } from '../fault/memo.ts';
import type { RecordDocument } from '../record/document.ts';
import { recordIn } from '../workshop/records/record-in.ts';
import type { JobState } from '../job/state.ts';
import type { JobNow } from './job-now.ts';

const anyHead = { writer: '', seq: 1, hash: '' };

const documentNow = memoisedBy((build: BuildState, job: JobState) => recordIn(build, job, anyHead));

/** The record of a job as it is now, of which the sheet and the list that are signed at a hold are made. */
export const recordNow = ({ facts, job }: Pick<JobNow, 'facts' | 'job'>): RecordDocument =>
  documentNow(facts.build, job);

/** A name for the sheet of a hold as it is now: another entry in the job gives another sheet. */
export const sheetName = ({ job }: Pick<JobNow, 'job'>, hold: string): string =>
  `${hold} ${job.log.at(-1)?.hash ?? ''}`;
