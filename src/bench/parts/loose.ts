import { isOpenItem, leftOpen } from '../../job/loose.ts';
import type { JobState } from '../../job/state.ts';
import type { LoosePart, Step } from '../../procedure/model.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import type { Form, Question } from '../session/form.ts';
import { askText, askWhole } from '../session/menu/item.ts';
import type { BenchPart } from './part.ts';

const looseForm = (job: JobState, step: Step, { item, left, because, before }: LoosePart): Form => ({
  key: `loose ${job.id} ${step.step} ${item}`,
  title: `Left loose: ${item}`,
  about: [`${left}: ${because}`, `to be closed before ${before}`],
  verb: 'loose',
  job: job.id,
  fixed: { item, left, because, before },
  questions: [{ name: 'count', ask: 'How many are left, counted', kind: 'whole', required: true }],
});

/** Where several tags of the item are open, the person names the one that was counted. */
const tagQuestions = (tags: Surroundings['looseItems']): readonly Question[] =>
  tags.length < 2
    ? []
    : [
        {
          name: 'tag',
          ask: 'Which tag is counted',
          kind: 'choice',
          required: true,
          choices: tags.map(({ tag, job, ...left }) => ({
            value: tag,
            label: tag,
            aside: `${leftOpen(left)} open, ${job}`,
          })),
        },
      ];

const closeForm = (job: JobState, item: string, { looseItems }: Surroundings): Form => {
  const tags = looseItems.filter((one) => one.item === item && !one.skipped && isOpenItem(one));
  const [only, more] = tags;
  const form = {
    key: `close ${job.id} ${item} ${job.closings.length}`,
    title: `Close the loose item: ${item}`,
    verb: 'close' as const,
    job: job.id,
  };
  if (!only)
    return {
      ...form,
      about: ['No tag of it is open. What is there is entered with its reason.'],
      fixed: { tag: item, count: 0 },
      questions: [askText('reason', 'Why there is nothing to close')],
    };
  return {
    ...form,
    about: ['Count them: as many in as went out. For what no longer exists: menu, loose items.'],
    fixed: more === undefined ? { tag: only.tag } : {},
    questions: [...tagQuestions(tags), askWhole('count', 'How many are closed, counted')],
  };
};

export const loosePart = {
  ask: (job, step, wanted, around) => ({
    kind: 'question',
    step,
    form: 'leave' in wanted ? looseForm(job, step, wanted.leave) : closeForm(job, wanted.close, around),
    beneath: 'title',
  }),
} satisfies BenchPart<'loose'>;
