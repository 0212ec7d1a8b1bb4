import type { BuildState } from '../aircraft/state.ts';
import { memoisedBy } from '../fault/memo.ts';
import { inspectionSheet, type InspectionSheet } from '../report/inspection-sheet.ts';
import { recordIn } from '../workshop/records/record-in.ts';
import type { JobState } from '../job/state.ts';
import type { JobNow } from './job-now.ts';

const anyHead = { writer: '', seq: 1, hash: '' };

const documentNow = memoisedBy((build: BuildState, job: JobState) => recordIn(build, job, anyHead));

/** What the second person is shown at a hold: the sheet that they sign with their answer. */
export const inspectionNow = ({ facts, job }: Pick<JobNow, 'facts' | 'job'>, hold: string): InspectionSheet =>
  inspectionSheet(documentNow(facts.build, job), hold);

/** A name for the sheet of a hold as it is now: another entry in the job gives another sheet. */
export const sheetName = ({ job }: Pick<JobNow, 'job'>, hold: string): string =>
  `${hold} ${job.log.at(-1)?.hash ?? ''}`;
