import { err, refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { stampOf, stepDraft, touch } from '../draft.ts';
import { performerRefusals } from '../refusals/power.ts';
import { currentStep } from '../where.ts';
import { gateFault, takeUnless, stepNamed, type Act, type AskedJob } from './act.ts';

const notOpen = (current: Step | undefined, step: Step): Refusal =>
  refusal('out-of-order', `the open step is ${current?.step ?? 'none'}, not ${step.step}`, 'skip the open step only');

const skipRefusals = ({ job, moment }: AskedJob, step: Step): readonly Refusal[] => {
  const current = currentStep(job);
  return [
    ...performerRefusals(moment),
    ...(current === step ? [] : [notOpen(current, step)]),
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

/** A step that is left for later becomes a loose item with a tag, so that nobody forgets it. */
export const skipAct: Act<'skip'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    if (!step.ok) return step;
    const fault = gateFault(ask, ask.data.before);
    if (fault) return err(fault);
    const tag = ask.moment.around.nextTag;
    return takeUnless(ask, step.value, skipRefusals(ask, step.value), { data: { tag }, told: [`tag ${tag}`] });
  },
  evolve: (draft, entry) => {
    const { step: id, because, before, tag } = entry.data;
    const left = { ...stampOf(entry), because, before, tag };
    const state = stepDraft(draft, id);
    state.state = 'skipped';
    state.skip = left;
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
};
