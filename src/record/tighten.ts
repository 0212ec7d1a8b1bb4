import type { FastenerAct, JobState } from '../job/state.ts';
import { fastenerTorqueNow, verdictOfFastener, wrenchLimits } from '../job/verdicts.ts';
import type { Step, Tighten } from '../procedure/model.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { boundsText } from './bounds.ts';
import type { RecordFastener, RecordTighten } from './document-step.ts';
import { ifSo, present, recordStampOf } from './plain.ts';
import { struckOf } from './struck.ts';
import { own } from '../fault/own.ts';

const actOf = (job: JobState, tighten: Tighten, act: FastenerAct): RecordFastener => {
  const shown = act.torque === undefined ? undefined : wrenchLimits(job, tighten, act);
  const there = fastenerTorqueNow(job, tighten, act);
  return present({
    fastener: act.fastener,
    torque: act.torque,
    drag: act.drag,
    'wrench-limits': shown && boundsText(shown),
    'at-fastener': there && printQuantity(there),
    'finger-tight': act.fingerTight,
    past: act.past,
    verdict: verdictOfFastener(job, tighten, act),
    tool: act.tool,
    mark: act.mark,
    ...recordStampOf(act),
    struck: struckOf(act.struck),
    'set-aside': act.superseded,
  });
};

const dragText = (drag: Tighten['drag']): string | undefined => {
  if (drag === undefined || typeof drag === 'string') return drag;
  return drag.kind === 'quantity' ? drag.quantity.text : drag.kind === 'id' ? drag.id : drag.text;
};

/** The tightening of one step: the part's own method, and every fastener as it was entered. */
export const tightenRecorded = (job: JobState, step: Step, tighten: Tighten): RecordTighten =>
  present({
    fasteners: tighten.fasteners,
    order: tighten.order,
    torque: tighten.torque?.text,
    drag: dragText(tighten.drag),
    adapter: tighten.adapter?.text,
    wrench: tighten.wrench?.text,
    'finger-tight': tighten.fingerTight?.text,
    past: tighten.past?.text,
    'tries-allowed': tighten.tries,
    never: tighten.never,
    'tool-kind': tighten.tool,
    mark: ifSo(tighten.mark),
    source: tighten.source,
    entered: (own(job.fasteners, step.step) ?? []).map((act) => actOf(job, tighten, act)),
  });
