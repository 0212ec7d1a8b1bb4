import type { JobState } from '../../../job/state.ts';
import { stepStateOf } from '../../../job/step-state.ts';
import { currentStep } from '../../../job/where.ts';
import { workLeft } from '../../../job/work-left.ts';
import { changeKey, changeName } from '../../../job/revised.ts';
import type { ChangeImpact } from '../../../aircraft/impact.ts';
import { asksSomething, decidedWords } from '../../../report/impact.ts';
import type { Choice } from '../form.ts';
import type { BenchFacts } from '../../ports.ts';
import { nonconformanceItems } from './nonconformance.ts';
import { impactsOf, newPageFor } from '../new-page.ts';
import { because, choice, formOf, item, info, askText, type MenuItem } from './item.ts';
import { skipItems } from './skip.ts';

/** What doing it another way means for the rest. A rule that is overruled in the middle of the work asks nothing of the kind. */
const effects = [
  askText('weight', 'Effect on weight, if any', false),
  askText('access', 'Effect on access, if any', false),
  askText('steps', 'Effect on later steps, if any', false),
];

export const departLabel = 'depart from the manual';

export const departItem = (job: JobState, code: string, about: string): MenuItem =>
  item(
    departLabel,
    formOf('depart', job.id, {
      title: 'Departure',
      about: [about],
      fixed: { code },
      questions: [
        askText('says', 'The manual says'),
        askText('did', code === 'manual' ? 'I did' : 'I do instead'),
        because,
        askText('agreed', 'Who agreed, if anybody', false),
        ...(code === 'manual' ? effects : []),
      ],
    }),
  );

const decisions = [
  { value: 'comply', label: 'comply', aside: 'opens again what must be done anew' },
  { value: 'not-applicable', label: 'not applicable', aside: 'with the reason' },
  { value: 'record-only', label: 'record only', aside: 'with the reason' },
];

const changeChoice = (one: ChangeImpact): Choice => {
  const pages = one.old !== undefined && one.new !== undefined ? `${one.old}, now ${one.new}` : undefined;
  const aside = one.decided === undefined ? pages : `decided: ${decidedWords[one.decided]}`;
  return { value: changeKey(one), label: changeName(one), ...(aside === undefined ? {} : { aside }) };
};

/** Where the folder holds another revision of the procedure: what it changes, what the builder decides, and how to follow it. */
const newPageItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => {
  const page = newPageFor(facts, job);
  if (page === undefined) return [];
  const { revision } = page.procedure;
  const own = impactsOf(facts, page).find((one) => one.job === job.id);
  const asking = (own?.changes ?? []).filter((one) => asksSomething(one) && one.what !== 'inspected work');
  return [
    info('what the new page changes', 'revision'),
    ...(asking.length > 0
      ? [
          item(
            'decide about a change',
            formOf('resolve', job.id, {
              title: `Revision ${revision}`,
              about: ['A value outside its new limits is never passed by a decision.'],
              fixed: { revision },
              questions: [
                choice('change', 'Which change', asking.map(changeChoice)),
                choice('as-what', 'What is decided', decisions),
                askText('reason', 'Why; wanted unless it is comply', false),
              ],
            }),
          ),
        ]
      : []),
    item(`follow revision ${revision}`, { kind: 'act', act: { verb: 'move', job: job.id, data: { revision } } }),
  ];
};

/** Offered only where nothing was entered: a job with work in it is finished, or scrapped first. */
const withdrawItems = (job: JobState): readonly MenuItem[] =>
  workLeft(job) !== undefined
    ? []
    : [
        item(
          'withdraw the job',
          formOf('withdraw', job.id, {
            title: 'Withdraw the job',
            about: ['For a job started by mistake, or whose work was scrapped whole. Nothing more is entered in it.'],
            questions: [because],
          }),
        ),
      ];

export const workItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => {
  const step = currentStep(job);
  const done = job.plan.steps.filter((one) => stepStateOf(job, one.step).state === 'done').toReversed();
  return [
    ...(job.plan.strict ? [] : [departItem(job, 'manual', 'Three lines, on paper, before anybody asks.')]),
    ...(step ? skipItems(facts, job, step) : []),
    item(
      'park the job',
      formOf('park', job.id, {
        title: 'Park the job',
        questions: [
          because,
          askText('waits-for', 'It waits for'),
          askText('state', 'The physical state, in one sentence'),
          askText('where', 'Where the parts lie'),
          askText('photo', 'Photo of it, if any: the file, its path', false),
        ],
      }),
    ),
    item(
      'undo finished work',
      formOf('undo', job.id, {
        title: 'Undo: take finished work apart',
        about: ['What was entered stays readable; the step and all that leans on it are open again.'],
        questions: [
          choice(
            'step',
            'Which step',
            done.map((one) => ({ value: one.step, label: one.title })),
          ),
          because,
        ],
      }),
    ),
    ...withdrawItems(job),
    ...nonconformanceItems(facts, job),
    ...newPageItems(facts, job),
    info('steps of this job', 'steps'),
    info('departures', 'departures'),
  ];
};
