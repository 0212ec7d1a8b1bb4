import * as z from 'zod/mini';
import { own } from '../../fault/own.ts';
import type { FastenerAct, JobState } from '../../job/state.ts';
import { pageThen } from '../../job/page-then.ts';
import { verdictOfFastener } from '../../job/parts/tighten.ts';
import { fastenerTorqueNow, wrenchLimits } from '../../job/parts/wrench.ts';
import type { Step, Tighten } from '../../procedure/model.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { boundsText, inputText } from '../limits.ts';
import { ifSo, presentOf, recordStampOf } from '../plain.ts';
import { optionalShape, setAside, stamp, struck, textShape, verdict, wholeShape, yes, type Frozen } from '../shapes.ts';
import { refused, refusedOf } from '../refused.ts';
import { struckIn } from '../../job/struck.ts';
import { struckOf } from '../struck.ts';
import type { RecordedPart } from './part.ts';

const fastenerShape = z.strictObject({
  fastener: wholeShape,
  /** As the wrench showed them, both with the adapter on. */
  torque: optionalShape(textShape),
  drag: optionalShape(textShape),
  /** What the wrench had to show: limits × L/(L+E) + drag. */
  'wrench-limits': optionalShape(textShape),
  /** The torque at the fastener, calculated back from what the wrench showed. */
  'at-fastener': optionalShape(textShape),
  'finger-tight': optionalShape(textShape),
  past: optionalShape(textShape),
  /** By the limits of its own time. */
  verdict: optionalShape(verdict),
  /** The page of that time, where the job follows one with other limits now, and what the new page says of it. */
  'by-page': optionalShape(z.strictObject({ revision: textShape, limits: textShape })),
  'verdict-now': optionalShape(verdict),
  tool: optionalShape(textShape),
  /** Whether the torque mark was entered as painted on. */
  mark: z.boolean(),
  /** Why it was tightened again. */
  reason: optionalShape(textShape),
  refused,
  ...stamp,
  struck: z.array(struck),
  'set-aside': setAside,
});

const tightenShape = z.strictObject({
  fasteners: wholeShape,
  order: z.array(wholeShape),
  torque: optionalShape(textShape),
  drag: optionalShape(textShape),
  adapter: optionalShape(textShape),
  wrench: optionalShape(textShape),
  'finger-tight': optionalShape(textShape),
  past: optionalShape(textShape),
  'tries-allowed': optionalShape(wholeShape),
  never: optionalShape(textShape),
  'tool-kind': optionalShape(textShape),
  mark: optionalShape(yes),
  source: optionalShape(textShape),
  entered: z.array(fastenerShape),
});

export type RecordFastener = Frozen<z.infer<typeof fastenerShape>>;
export type RecordTighten = Frozen<z.infer<typeof tightenShape>>;

const fastenersOf = (job: JobState, step: Step): readonly FastenerAct[] => own(job.fasteners, step.step) ?? [];

/** What a fastener must come to, in the page's words. */
const limitsText = ({ torque, fingerTight, past }: Tighten): string =>
  [torque, fingerTight, past].flatMap((limits) => limits?.text ?? []).join(', ');

interface TightenThen {
  readonly job: JobState;
  readonly tighten: Tighten;
  readonly revision: string;
}

/** The tightening as the page had it by which a fastener was decided, where the page of now has other limits. */
const tightenThen = (job: JobState, step: Step, tighten: Tighten, act: FastenerAct): TightenThen | undefined => {
  const page = pageThen(job, act.entry);
  const old = page?.step(step.step)?.tighten;
  return !page || !old || limitsText(old) === limitsText(tighten)
    ? undefined
    : { job: { ...job, plan: page.plan }, tighten: old, revision: page.revision };
};

const fastenerOf = (job: JobState, step: Step, tighten: Tighten, act: FastenerAct): RecordFastener => {
  const old = tightenThen(job, step, tighten, act);
  const limits = act.torque === undefined ? undefined : wrenchLimits(old?.job ?? job, old?.tighten ?? tighten, act);
  const atFastener = fastenerTorqueNow(job, tighten, act);
  return presentOf<RecordFastener>({
    fastener: act.fastener,
    torque: act.torque,
    drag: act.drag,
    'wrench-limits': limits && boundsText(limits),
    'at-fastener': atFastener && printQuantity(atFastener),
    'finger-tight': act.fingerTight,
    past: act.past,
    verdict: old ? verdictOfFastener(old.job, old.tighten, act) : verdictOfFastener(job, tighten, act),
    'by-page': old && { revision: old.revision, limits: limitsText(old.tighten) },
    'verdict-now': old && verdictOfFastener(job, tighten, act),
    tool: act.tool,
    mark: act.mark,
    reason: act.reason,
    refused: refusedOf(job, act.entry),
    ...recordStampOf(act),
    struck: struckOf(struckIn(job, act.entry)),
    'set-aside': act.superseded,
  });
};

const dragText = (drag: Tighten['drag']): string | undefined =>
  drag === undefined || typeof drag === 'string' ? drag : inputText(drag);

const tightenOf = (job: JobState, step: Step, tighten: Tighten): RecordTighten =>
  presentOf<RecordTighten>({
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
    entered: fastenersOf(job, step).map((act) => fastenerOf(job, step, tighten, act)),
  });

/** The tightening of one step: the part's own method, and every fastener as it was entered. */
export const recordedTighten: RecordedPart<'tighten', typeof tightenShape> = {
  slot: 'tighten',
  shape: tightenShape,
  write: (job, step) => step.tighten && tightenOf(job, step, step.tighten),
  uses: (job, step) =>
    fastenersOf(job, step).flatMap(({ tool, fastener }) =>
      tool === undefined ? [] : [{ tool, kind: step.tighten?.tool ?? '', what: `${step.step} fastener ${fastener}` }],
    ),
};
