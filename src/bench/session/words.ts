import { entryWords } from '../../aircraft/words.ts';
import { valueWords } from '../../job/entries.ts';
import { stepLabel } from '../../job/labels.ts';
import type { JobState } from '../../job/state.ts';
import type { Done } from '../ports.ts';

/** A value, a fastener or a finished step by the labels of its page; `undefined` for any other entry. */
const inLabels = (job: JobState, { type, data, entry }: Done): string | undefined => {
  if (type === 'finish' && 'step' in data) return `${stepLabel(job.plan, String(data.step))}: finished`;
  return type === 'read' || type === 'tighten' ? valueWords(job, entry) : undefined;
};

/** What was taken, in a few words, for the line beneath the next thing that is asked. */
export const takenWords = (done: Done, job: JobState | undefined): readonly string[] => {
  const hold =
    'step' in done.data
      ? job?.plan.steps.find((one) => 'step' in done.data && one.step === done.data.step)?.hold
      : undefined;
  if (done.type === 'release' && hold?.kind === 'witness') return ['they came, and saw it'];
  const said = (job && inLabels(job, done)) ?? entryWords(done);
  return said === undefined ? [] : [said];
};
