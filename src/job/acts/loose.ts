import { err, ok, usage } from '../../fault/fault.ts';
import { photoIn, stampOf } from '../draft.ts';
import { gatePassedRefusals } from '../refusals/gate.ts';
import { leftOpen } from '../loose.ts';
import type { LooseItem } from '../state.ts';
import { currentStep } from '../where.ts';
import { gateFault, takeUnless, type Act } from './act.ts';
import { correctsItem, type Correctable } from './correctable.ts';

const judgeLeft: Correctable<'loose'>['judge'] = (ask, { target, now }) => {
  const item = ask.job.loose.find(({ entry }) => entry === target);
  const closed = item === undefined ? 0 : item.count - leftOpen(item);
  const { count = 0, before = '' } = now;
  if (count < Math.max(1, closed))
    return err(
      usage('value-unreadable', `${closed} of ${item?.tag ?? ''} are closed, not ${count} left`, 'count again'),
    );
  const fault = gateFault(ask, before);
  return fault ? err(fault) : ok({});
};

/** A loose item belongs to the step that declares it, else to the open step. Its tag is numbered for the whole build. */
export const looseAct: Act<'loose'> = {
  decide: (ask) => {
    const { item, count, before } = ask.data;
    if (count < 1) return err(usage('value-unreadable', 'a loose item is at least one', 'give count'));
    const fault = gateFault(ask, before);
    if (fault) return err(fault);
    const declared = ask.job.plan.steps.find((step) => step.loose.some((part) => part.item === item));
    const step = declared ?? currentStep(ask.job);
    const tag = ask.moment.around.nextTag;
    return takeUnless(ask, step, gatePassedRefusals(before, ask.moment), {
      data: { tag, ...(step ? { step: step.step } : {}) },
      told: [`tag ${tag}`],
    });
  },
  evolve: (draft, entry) => {
    const { tag, item, count, left, because, before, step, place } = entry.data;
    draft.loose.push({
      ...stampOf(entry),
      tag,
      item,
      count,
      left,
      because,
      before,
      closings: [],
      skipped: false,
      ...(step === undefined ? {} : { step }),
      ...(place === undefined ? {} : { place }),
      ...photoIn(entry.data),
    });
  },
  words: (data) => `${data.item} left loose`,
  correct: correctsItem<'loose', LooseItem>(
    {
      items: ({ loose }) => loose.filter(({ skipped }) => !skipped),
      names: { item: 'item', count: 'count', left: 'left', because: 'because', before: 'before', place: 'place' },
      photo: true,
      steps: ({ step }) => [step],
    },
    { judge: judgeLeft },
  ),
};
