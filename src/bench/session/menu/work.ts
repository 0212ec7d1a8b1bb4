import { isOpenItem, leftOpen } from '../../../job/loose.ts';
import type { JobState } from '../../../job/state.ts';
import { currentStep, stepStateOf } from '../../../job/where.ts';
import type { World } from '../../ports.ts';
import { nonconformanceItems } from './nonconformance.ts';
import { because, choice, formOf, gateChoices, item, look, text, whole, type MenuItem } from './item.ts';

export const departItem = (job: JobState, code: string, about: string): MenuItem =>
  item(
    'depart from the manual',
    formOf('depart', job.id, {
      title: 'Departure',
      about: [about],
      fixed: { code },
      questions: [
        text('says', 'The manual says'),
        text('did', code === 'manual' ? 'I did' : 'I do instead'),
        because,
        text('agreed', 'Who agreed, if anybody', false),
      ],
    }),
  );

export const workItems = (world: World, job: JobState): readonly MenuItem[] => {
  const step = currentStep(job);
  const done = job.plan.steps.filter((one) => stepStateOf(job, one.step).state === 'done').toReversed();
  return [
    ...(job.plan.strict ? [] : [departItem(job, 'manual', 'Three lines, on paper, before anybody asks.')]),
    ...(step
      ? [
          item(
            'leave this step for later',
            formOf('skip', job.id, {
              title: `Leave for later: ${step.title}`,
              about: ['It becomes a loose item with a tag.'],
              fixed: { step: step.step },
              questions: [because, choice('before', 'To be done before', gateChoices(world))],
            }),
          ),
        ]
      : []),
    item(
      'park the job',
      formOf('park', job.id, {
        title: 'Park the job',
        questions: [
          because,
          text('waits-for', 'It waits for'),
          text('state', 'The physical state, in one sentence'),
          text('where', 'Where the parts lie'),
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
    ...nonconformanceItems(world, job),
    look('steps of this job', 'steps'),
    look('departures', 'departures'),
  ];
};

const closeItem = (job: JobState, tag: string, label: string, open: number): MenuItem =>
  item(
    `close ${label}`,
    formOf('close', job.id, {
      title: `Close ${tag}`,
      fixed: { tag },
      questions: [whole('count', `How many are closed, counted (${open} open)`)],
    }),
    `${open} open`,
  );

export const looseItems = (world: World, job: JobState): readonly MenuItem[] => [
  item(
    'leave something loose',
    formOf('loose', job.id, {
      title: 'Left loose on purpose',
      about: ['It gets a tag; its gate stays shut until it is closed.'],
      questions: [
        text('item', 'What'),
        whole('count', 'How many'),
        text('left', 'The state it is left in: finger tight'),
        because,
        choice('before', 'To be closed before', gateChoices(world)),
      ],
    }),
  ),
  ...job.loose
    .filter((one) => isOpenItem(one) && !one.skipped)
    .map((one) => closeItem(job, one.tag, `${one.tag} ${one.item}`, leftOpen(one))),
  look('loose items by gate', 'loose'),
];
