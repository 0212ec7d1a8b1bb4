import { looseStatus, type LooseStatus } from '../../../aircraft/status.ts';
import { commitsOf } from '../../../procedure/ahead.ts';
import type { Step } from '../../../procedure/model.ts';
import { stepOf } from '../../../procedure/plan.ts';
import { overrulable } from '../../../job/departure.ts';
import { isOpenItem } from '../../../job/loose.ts';
import { neededAbove } from '../../../job/needs.ts';
import type { JobState } from '../../../job/state.ts';
import { currentStep } from '../../../job/where.ts';
import type { BenchFacts } from '../../ports.ts';
import type { PromptOf } from '../prompt.ts';
import { askText, askWhole, because, choice, formOf, gateChoices, info, item, type MenuItem } from './item.ts';
import { skipItems } from './skip.ts';
import { departItem } from './work.ts';

const closeItem = (job: JobState, { tag, item: name, open }: LooseStatus): MenuItem =>
  item(
    `close ${tag} ${name}`,
    formOf('close', job.id, {
      title: `Close ${tag}`,
      about: ['Count them: as many in as went out.'],
      fixed: { tag },
      questions: [askWhole('count', `How many are closed, counted (${open} open)`)],
    }),
    `${open} open`,
  );

const goneItem = (job: JobState, { tag, item: name, open }: LooseStatus): MenuItem =>
  item(
    `${tag} ${name} no longer exists`,
    formOf('close', job.id, {
      title: `${tag} no longer exists`,
      about: [`${name}: ${open} open. Nothing is counted; the tag ends with its reason.`],
      fixed: { tag, count: 0 },
      questions: [askText('reason', 'What became of it')],
    }),
  );

/** The open tags that a person at this job may close: those that it left, and those of whatever its open step closes. */
const openTags = (facts: BenchFacts, job: JobState): readonly LooseStatus[] => {
  const closes = currentStep(job)?.closes ?? [];
  const steps = new Set(job.loose.filter((one) => one.skipped).map(({ tag }) => tag));
  return looseStatus(facts.build).filter(
    (one) => (one.job === job.id && !steps.has(one.tag)) || closes.includes(one.item),
  );
};

/** Takes up a step that was left for later. What commits the builder is opened again, so that its card is read before it is begun. */
const takeUpItem = (job: JobState, step: Step, tag: string): MenuItem =>
  commitsOf(job.plan, step).length === 0 && !step.critical
    ? item(
        `do it now: ${step.title}`,
        { kind: 'act', act: { verb: 'begin', job: job.id, data: { step: step.step } } },
        tag,
      )
    : item(
        `do it now: ${step.title}`,
        formOf('undo', job.id, {
          title: `Take up: ${step.title}`,
          about: [`Its tag ${tag} stays open until the step is finished. Releases over it are void.`],
          fixed: { step: step.step },
          questions: [because],
        }),
        tag,
      );

const notDoneItem = (job: JobState, tag: string, title: string): MenuItem =>
  item(
    `not done: ${title}`,
    formOf('close', job.id, {
      title: `Not done: ${title}`,
      about: ['A departure. The step is not ticked, and the steps that need it are not done either.'],
      fixed: { tag, count: 0 },
      questions: [askText('reason', 'Why it is not done')],
    }),
    tag,
  );

/** The steps of a job that were left for later: done now, or entered as not done. */
const leftItems = (job: JobState): readonly MenuItem[] =>
  job.loose
    .filter((one) => one.skipped && isOpenItem(one))
    .flatMap(({ tag, step: id, item: name }) => {
      const step = stepOf(job.plan, id ?? name);
      const canBeLeft =
        !job.plan.strict && (step === undefined || (step.proves.length === 0 && step.hold?.kind !== 'hold'));
      return [
        ...(step && currentStep(job) !== step ? [takeUpItem(job, step, tag)] : []),
        ...(canBeLeft ? [notDoneItem(job, tag, step?.title ?? name)] : []),
      ];
    });

/** The ways on where a step cannot be begun: the steps that it waits for, the step left for later too, or a departure. */
export const barredItems = (
  facts: BenchFacts,
  job: JobState,
  { step, refusals }: PromptOf<'barred'>,
): readonly MenuItem[] => [
  ...neededAbove(job, step).map((one) => takeUpItem(job, one.step, one.tag)),
  ...skipItems(facts, job, step),
  ...(job.plan.strict
    ? []
    : refusals
        .filter(({ code }) => overrulable.includes(code))
        .map(({ code }) => departItem(job, code, 'It overrules this refusal for one step, and stays in the record.'))),
];

const leaveItem = (facts: BenchFacts, job: JobState): MenuItem =>
  item(
    'leave something loose',
    formOf('loose', job.id, {
      title: 'Left loose on purpose',
      about: ['It gets a tag; its gate stays shut until it is closed.'],
      questions: [
        askText('item', 'What'),
        askWhole('count', 'How many'),
        askText('left', 'The state it is left in: finger tight'),
        because,
        choice('before', 'To be closed before', gateChoices(facts)),
        askText('place', 'Where it is, if that helps', false),
        askText('photo', 'Photo of it, if any: the file, its path', false),
      ],
    }),
  );

export const looseItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => [
  leaveItem(facts, job),
  ...openTags(facts, job).map((one) => closeItem(job, one)),
  info('loose items by gate', 'loose'),
  info('gate sheet', 'gate'),
  ...leftItems(job),
  ...openTags(facts, job).map((one) => goneItem(job, one)),
];
