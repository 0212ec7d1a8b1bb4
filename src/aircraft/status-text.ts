import { jsonText } from '../fault/escape.ts';
import type { BuildStatus, JobStatus } from './status.ts';

/*
 * The status as `status --json` prints it, job by job: a build of years has thousands of them, nearly all as they were, so the text of each
 * is kept and need not be printed again.
 */

/** One job as it is printed in the list of jobs, without the line feed before it and the comma after it. */
export const jobText = (job: JobStatus): string => `    ${jsonText(job, 2).replaceAll('\n', '\n    ')}`;

/** What is between two jobs. */
export const betweenJobs = ',\n';

const noJobs = '\n  "jobs": []';

/**
 * What is printed before and after the jobs. No text of a person can look like the list of jobs, because JSON has no line feed within a text.
 * @param hasJobs false where the list is empty.
 */
export const aroundJobs = (
  status: Omit<BuildStatus, 'jobs'>,
  more: object,
  hasJobs: boolean,
): readonly [before: string, after: string] => {
  const { build, scripted, ...rest } = status;
  const text = `${jsonText({ build, scripted, jobs: [], ...rest, ...more }, 2)}\n`;
  const at = text.indexOf(noJobs) + noJobs.length - 1;
  return hasJobs ? [`${text.slice(0, at)}\n`, `\n  ${text.slice(at)}`] : [text.slice(0, at), text.slice(at)];
};
