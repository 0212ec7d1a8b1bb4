import * as z from 'zod/mini';
import { leftOpen } from '../../job/loose.ts';
import type { JobState } from '../../job/state.ts';
import { ifSo, present, presentOf, recordStampOf, unlessEmpty } from '../plain.ts';
import {
  keptPhoto,
  optionalShape,
  setAside,
  stamp,
  textShape,
  textsShape,
  wholeShape,
  yes,
  type Frozen,
} from '../shapes.ts';
import type { RecordedPart } from './part.ts';

export const looseShape = z.strictObject({
  tag: textShape,
  item: textShape,
  step: optionalShape(textShape),
  count: wholeShape,
  /** How many of them were still open. */
  open: wholeShape,
  left: textShape,
  because: textShape,
  /** The gate before which it must be closed. */
  before: textShape,
  place: optionalShape(textShape),
  photo: optionalShape(keptPhoto),
  skipped: optionalShape(yes),
  ...stamp,
  closings: z.array(
    z.strictObject({
      count: wholeShape,
      /** How many ended because they no longer exist. */
      gone: optionalShape(wholeShape),
      reason: optionalShape(textShape),
      ...stamp,
      /** The entry that undid the step which closed them: they are open again. */
      'set-aside': setAside,
    }),
  ),
  /** A step that was left for later again before it was finished; the gate named last counts. */
  'left-again': optionalShape(z.array(z.strictObject({ because: textShape, before: textShape, ...stamp }))),
  /** The entry that undid the step which left it. The item stays open until it is closed. */
  'step-undone': optionalShape(textShape),
});

export type RecordLoose = Frozen<z.infer<typeof looseShape>>;

/** Every loose item of a job. An item may be left without a step that asks for it, so that they are one list for the whole job. */
export const recordLooseOf = (job: JobState): readonly RecordLoose[] =>
  job.loose.map((item) =>
    presentOf<RecordLoose>({
      tag: item.tag,
      item: item.item,
      step: item.step,
      count: item.count,
      open: leftOpen(item),
      left: item.left,
      because: item.because,
      before: item.before,
      place: item.place,
      photo: item.photo,
      skipped: ifSo(item.skipped),
      ...recordStampOf(item),
      closings: item.closings.map(({ count, gone, reason, superseded, ...closing }) =>
        present({ count, gone, reason, ...recordStampOf(closing), 'set-aside': superseded }),
      ),
      'left-again': unlessEmpty(
        (item.leftAgain ?? []).map(({ because, before, ...again }) => ({ because, before, ...recordStampOf(again) })),
      ),
      'step-undone': item.redone,
    }),
  );

/** What a step itself says of loose items: which of them it closes. */
export const recordedLoose: RecordedPart<'closes', typeof textsShape> = {
  slot: 'closes',
  shape: textsShape,
  write: (_job, step) => unlessEmpty(step.closes),
};
