import { own } from '../fault/own.ts';
import type { JobState } from '../job/state.ts';

/** One signed answer as it is kept beside the record: its text exactly as it was signed, and its signature at `FILE.sig`. */
export interface HoldFile {
  readonly file: string;
  readonly text: string;
  readonly signature: string;
}

/** Where in the record folder an answer is kept; `number` counts the looks at the hold from 1. */
export const holdFileName = (step: string, number: number): string =>
  `holds/${step.replaceAll('/', '.')}-${number}.json`;

/** Every signed answer of a job, in the order of the looks at each hold. */
export const holdFilesOf = (job: JobState): readonly HoldFile[] =>
  job.plan.steps.flatMap(({ step }) =>
    (own(job.looks, step) ?? []).flatMap(({ answer, signature }, index) =>
      answer === undefined || signature === undefined
        ? []
        : [{ file: holdFileName(step, index + 1), text: answer, signature }],
    ),
  );
