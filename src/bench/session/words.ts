import { entryWords } from '../../aircraft/words.ts';
import type { JobState } from '../../job/state.ts';
import type { Done } from '../ports.ts';

/** What was taken, in a few words, for the line beneath the next thing that is asked. */
export const takenWords = (done: Done, job: JobState | undefined): readonly string[] => {
  const hold =
    'step' in done.data
      ? job?.plan.steps.find((one) => 'step' in done.data && one.step === done.data.step)?.hold
      : undefined;
  if (done.type === 'release' && hold?.kind === 'witness') return ['they came, and saw it'];
  const said = entryWords(done);
  return said === undefined ? [] : [said];
};
