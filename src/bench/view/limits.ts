import { labelIn, readingLabel } from '../../job/labels.ts';
import { limitsInLabels } from '../../job/limits-shown.ts';
import type { JobState } from '../../job/state.ts';
import { limitsNow, ownLimits } from '../../job/values.ts';
import { wrenchLimits } from '../../job/parts/wrench.ts';
import { currentStep } from '../../job/where.ts';
import type { FixedLimits, Limits } from '../../quantity/limits.ts';
import { boundsWords } from '../../quantity/shown-limits.ts';
import { mark, paragraphRows, type Row } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import { title, type Canvas } from './page.ts';

const limitRows = (
  job: JobState,
  label: string,
  limits: Limits,
  width: number,
  fixed?: FixedLimits,
): readonly Row[] => {
  const now = fixed ?? limitsNow(job, limits);
  const words = limitsInLabels(job.plan, limits);
  const exact = now && boundsWords(now);
  return [
    ...paragraphRows(label, width),
    ...paragraphRows(`  ${words}${exact === undefined || exact === words ? '' : `: ${exact}`}`, width, 'quiet', 4),
  ];
};

/** The limits of the open step as its page has them, and their exact ends: what the screen shows elsewhere is rounded inwards. */
export const limitsText = (_facts: BenchFacts, job: JobState, { width }: Canvas): readonly Row[] => {
  const step = currentStep(job);
  if (!step) return [[mark('no step is open', 'quiet')]];
  const items = [...step.readings, ...step.results].flatMap((item) => {
    const limits = ownLimits(item);
    return limits
      ? limitRows(job, 'result' in item ? labelIn(job.plan, item.result) : readingLabel(item), limits, width)
      : [];
  });
  const { tighten } = step;
  const torque = tighten?.torque
    ? limitRows(
        job,
        'Torque, as the wrench shows it with this drag',
        tighten.torque,
        width,
        wrenchLimits(job, tighten, {}),
      )
    : [];
  const rows = [...items, ...torque];
  return [
    ...title(step.title, width),
    ...(rows.length === 0 ? [[mark('this step has no limits', 'quiet')] as Row] : rows),
  ];
};
