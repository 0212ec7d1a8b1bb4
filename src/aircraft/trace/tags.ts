import { dueGate, leftOpen } from '../../job/loose.ts';
import type { JobState, LooseItem } from '../../job/state.ts';
import { stepOf } from '../../procedure/plan.ts';
import { rest, workWith, type Rest } from './rest.ts';
import type { Trail } from './trail.ts';

const itemText = (item: LooseItem): string => {
  const open = leftOpen(item);
  const now = open === 0 ? 'closed' : `${open} of ${item.count} open`;
  return item.skipped
    ? `${item.tag}: step left for later, before ${dueGate(item)}; ${now}`
    : `${item.tag}: ${item.item} ${item.left}, before ${item.before}; ${now}`;
};

/** The item where it was left, how it was closed, and the work of its step. */
const tagRests = (job: JobState, item: LooseItem): readonly Rest[] => {
  const step = item.step === undefined ? undefined : stepOf(job.plan, item.step);
  return [
    rest(job, step, 'loose', itemText(item), item),
    ...item.closings.map((closing) =>
      rest(job, step, 'loose', `${item.tag}: ${closing.count} closed`, closing, { superseded: closing.superseded }),
    ),
    ...(item.step === undefined ? [] : workWith(job, { ...job.started, step: item.step })),
  ];
};

/** Items of other jobs that this job closed, at the step that closes them. */
const closedHere = (job: JobState): readonly Trail[] =>
  job.closings
    .filter(({ tag }) => !job.loose.some((item) => item.tag === tag))
    .map((closing) => ({
      of: { kind: 'tag', tag: closing.tag },
      names: [closing.tag, closing.item],
      rests: [
        rest(
          job,
          job.plan.steps.find((step) => step.closes.includes(closing.item)),
          'loose',
          `${closing.tag}: ${closing.count} closed`,
          closing,
          { superseded: closing.superseded },
        ),
      ],
      grounds: [],
    }));

/** The loose items of a job, each by its tag and by what was left. */
export const tagTrails = (job: JobState): readonly Trail[] => [
  ...job.loose.map((item): Trail => ({
    of: { kind: 'tag', tag: item.tag },
    names: [item.tag, ...(item.skipped ? [] : [item.item])],
    rests: tagRests(job, item),
    grounds: [],
  })),
  ...closedHere(job),
];
