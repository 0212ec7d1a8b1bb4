import { nameOf, peopleOf } from '../../../aircraft/state.ts';
import { unanswered } from '../../../job/hold.ts';
import type { JobState } from '../../../job/state.ts';
import { currentStep } from '../../../job/where.ts';
import { jobNow } from '../../job-now.ts';
import type { BenchFacts } from '../../ports.ts';
import { helpersForm } from '../gather-forms.ts';
import { helpersWanted } from '../prompt-now.ts';
import { introduceItem } from './book.ts';
import { formItem, formOf, item, info, askText, type MenuItem } from './item.ts';

export const answerItems = (job: JobState): readonly MenuItem[] =>
  job.plan.steps
    .flatMap((step) => unanswered(job, step.step))
    .map((finding) =>
      item(
        `answer finding ${finding.number}`,
        formOf('answer', job.id, {
          title: `Finding ${finding.number}`,
          about: [finding.text],
          fixed: { finding: finding.number },
          questions: [askText('remark', 'What was done about it')],
        }),
        finding.text,
      ),
    );

export const helperItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => {
  const step = currentStep(job);
  return step
    ? [
        formItem(
          'who lends a hand',
          helpersForm(job, step, helpersWanted(jobNow(facts, job)), 'begin'),
          job.helpers.join(', '),
        ),
      ]
    : [];
};

const signOnItems = (facts: BenchFacts): readonly MenuItem[] =>
  facts.keys
    .filter((person) => peopleOf(facts.build).includes(person))
    .map((person) => item(`at the bench: ${nameOf(facts.build, person) ?? person}`, { kind: 'sign-on', person }));

export const peopleItems = (facts: BenchFacts, job: JobState | undefined): readonly MenuItem[] => [
  ...(job
    ? [
        ...answerItems(job),
        item(
          'advice',
          formOf('advise', job.id, {
            title: 'Advice',
            about: ['Kept as advice, in their words. It unlocks nothing.'],
            questions: [askText('from', 'Who said it'), askText('text', 'Their words')],
          }),
        ),
        ...helperItems(facts, job),
        info('findings', 'findings'),
      ]
    : []),
  ...signOnItems(facts),
  introduceItem,
];
