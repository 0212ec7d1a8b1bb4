import { err, usage } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { gatePassedRefusals } from '../refusals/gate.ts';
import { currentStep } from '../where.ts';
import { gateFault, takeUnless, type Act } from './act.ts';

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
    const { tag, item, count, left, because, before, step } = entry.data;
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
    });
  },
  words: (data) => `${data.item} left loose`,
};
