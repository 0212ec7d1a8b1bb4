// For the rooms that still import from here.
import type { Step } from '../procedure/model.ts';
import { wantedOf } from './parts/all.ts';
import type { Wanted } from './parts/part.ts';
import type { JobState } from './state.ts';

export { fastenerMissing } from './parts/tighten.ts';

export interface MissingPart {
  readonly part: 'reading' | 'result' | 'tighten' | 'mix' | 'break' | 'hold' | 'invite' | 'loose' | 'close' | 'photo';
  readonly id: string;
  readonly what: string;
}

const missingPart = (step: Step, wanted: Wanted): MissingPart => {
  const { what, part } = wanted;
  switch (wanted.part) {
    case 'reading':
      return { part: 'reading', id: wanted.reading.reading, what };
    case 'result':
      return { part: 'result', id: wanted.result, what };
    case 'tighten':
      return { part: 'tighten', id: String(wanted.fastener), what };
    case 'break':
      return { part: 'break', id: wanted.batch, what };
    case 'loose':
      return 'leave' in wanted
        ? { part: 'loose', id: wanted.leave.item, what }
        : { part: 'close', id: wanted.close, what };
    case 'photo':
      return { part: 'photo', id: wanted.photo.photo, what };
    case 'mix':
      return { part, id: step.step, what } as MissingPart;
    case 'hold':
      return { part: 'invite', id: step.step, what };
  }
};

export const partsMissing = (job: JobState, step: Step): readonly MissingPart[] =>
  wantedOf(job, step).map((wanted) => missingPart(step, wanted));
