import type { Step } from '../../procedure/model.ts';
import type { Closing, JobState, LooseItem } from '../state.ts';
import { inspectedLine, supersede, withStep, type JobPart } from './part.ts';

const isLeft = (job: JobState, step: Step, item: string): boolean =>
  job.loose.some((one) => one.item === item && one.step === step.step && one.superseded === undefined);

const isClosedItem = (job: JobState, item: string): boolean =>
  job.closings.some((closing) => closing.item === item && closing.left === 0 && closing.superseded === undefined);

const inspectedItem = ({ tag, item, entry, count, superseded }: LooseItem): string =>
  inspectedLine(tag, item, entry, count, superseded);

const inspectedClosing = ({ tag, item, entry, count, left, superseded }: Closing): string =>
  inspectedLine(tag, item, entry, count, `${left} left`, superseded);

export const jobLoose: JobPart = {
  wants: (job, step) => [
    ...step.loose
      .filter(({ item }) => !isLeft(job, step, item))
      .map((leave) => ({ part: 'loose' as const, leave, what: `${leave.item} left ${leave.left}, counted` })),
    ...step.closes
      .filter((item) => !isClosedItem(job, item))
      .map((close) => ({ part: 'loose' as const, close, what: `${close} closed, counted` })),
  ],
  setAside: (draft, step, entry) => {
    supersede(
      draft.loose.filter((item) => item.step === step.step),
      entry,
    );
    supersede(
      draft.closings.filter((closing) => step.closes.includes(closing.item)),
      entry,
    );
  },
  rekey: (job, rename) => ({ loose: withStep(job.loose, rename) }),
  inspected: (job, step) => [
    ...job.loose.filter((item) => item.step === step.step).map(inspectedItem),
    ...job.closings.filter((closing) => step.closes.includes(closing.item)).map(inspectedClosing),
  ],
};
