import { err, refusal, usage, type Refusal, ok } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { stampOf, stepDraft, touch } from '../draft.ts';
import { isOpenItem } from '../loose.ts';
import { waitingWith } from '../needs.ts';
import { gatePassedRefusals } from '../refusals/gate.ts';
import { performerRefusals } from '../refusals/power.ts';
import type { LooseItem } from '../state.ts';
import type { Stamp } from '../stamp.ts';
import { isSkipped, stepStateOf } from '../step-state.ts';
import { currentStep, stepInOrder } from '../where.ts';
import { gateFault, takeUnless, stepNamed, type Act, type AskedJob } from './act.ts';
import { correctsItem } from './correctable.ts';

type Left = Stamp & { readonly because: string; readonly before: string };

const notOpen = (current: Step | undefined, step: Step): Refusal =>
  refusal('out-of-order', `the open step is ${current?.step ?? 'none'}, not ${step.step}`, 'skip the open step only');

const skipRefusals = ({ job, moment }: AskedJob, step: Step): readonly Refusal[] => {
  const current = currentStep(job);
  return [
    ...performerRefusals(moment),
    ...(current === step || stepInOrder(job) === step ? [] : [notOpen(current, step)]),
    ...(step.hold?.kind === 'hold'
      ? [
          refusal(
            'hold-closed',
            `${step.step} is a hold point; it is not left for later`,
            'have it looked at and released',
          ),
        ]
      : []),
  ];
};

const openTag = <T extends LooseItem>(items: readonly T[], tag: string): T | undefined =>
  items.find((one) => one.tag === tag && one.skipped && isOpenItem(one));

/**
 * A step that is left for later becomes a loose item with a tag, so that nobody forgets it. Left again before it is finished, it keeps its
 * tag.
 */
export const skipAct: Act<'skip'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    if (!step.ok) return step;
    const fault = gateFault(ask, ask.data.before);
    if (fault) return err(fault);
    const { skip, begun } = stepStateOf(ask.job, step.value.step);
    const open = skip && openTag(ask.job.loose, skip.tag);
    if (open && isSkipped(ask.job, step.value) && begun === undefined)
      return err(
        usage('left-already', `${step.value.step} is left for later, ${open.tag}`, 'begin it, to take it up again'),
      );
    const tag = open?.tag ?? ask.moment.around.nextTag;
    const waiting = waitingWith(ask.job, step.value);
    return takeUnless(
      ask,
      step.value,
      [...skipRefusals(ask, step.value), ...gatePassedRefusals(ask.data.before, ask.moment)],
      {
        data: { tag },
        told: [
          `tag ${tag}`,
          ...(waiting.length === 0 ? [] : [`waits with it: ${waiting.map((one) => one.step).join(', ')}`]),
        ],
      },
    );
  },
  evolve: (draft, entry) => {
    const { step: id, because, before, tag } = entry.data;
    const left = { ...stampOf(entry), because, before, tag };
    const state = stepDraft(draft, id);
    state.state = 'skipped';
    state.skip = left;
    delete state.begun;
    const open = openTag(draft.loose, tag);
    if (open) open.leftAgain = [...(open.leftAgain ?? []), { ...stampOf(entry), because, before }];
    else
      draft.loose.push({
        ...left,
        item: id,
        step: id,
        count: 1,
        left: 'step left for later',
        closings: [],
        skipped: true,
      });
    touch(draft, id, entry);
  },
  words: (data) => `${data.step} left for later`,
  correct: correctsItem<'skip', Left>(
    {
      items: ({ steps, loose }) => [
        ...Object.values(steps).flatMap(({ skip }) => skip ?? []),
        ...loose.filter(({ skipped }) => skipped),
        ...loose.flatMap(({ leftAgain }) => leftAgain ?? []),
      ],
      names: { because: 'because', before: 'before' },
      steps: ({ entry }, { steps }) =>
        Object.entries(steps).flatMap(([step, { skip }]) => (skip?.entry === entry ? [step] : [])),
    },
    {
      otherwise: 'do the step where it was the wrong one; it closes its own tag',
      judge: (ask, { now }) => {
        const fault = now.before === undefined ? undefined : gateFault(ask, now.before);
        return fault ? err(fault) : ok({});
      },
    },
  ),
};
