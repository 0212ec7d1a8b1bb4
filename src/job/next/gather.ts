import { own } from '../../fault/own.ts';
import type { Mix, Reading, Step } from '../../procedure/model.ts';
import { departureFor } from '../departure.ts';
import type { Moment } from '../moment.ts';
import type { Wanted } from '../parts/part.ts';
import type { JobState } from '../state.ts';
import type { Want } from './want.ts';

const isGuarded = (reading: Reading): boolean => reading.kind === 'quantity' && reading.guarded;

/** Asks which tool is used, where its date or its uncertainty matters and the build lists a tool of that kind. */
const toolWants = (
  job: JobState,
  step: Step,
  kind: string | undefined,
  guarded: boolean,
  { around }: Moment,
): readonly Want[] => {
  if (kind === undefined || own(job.tools, kind) !== undefined) return [];
  const inDate = job.plan.gather.tools.some((need) => need.tool === kind && need.inDate);
  const isKnown = Object.values(around.tools).some((tool) => tool.kind === kind);
  if (!isKnown || !(inDate || guarded)) return [];
  // A guarded value cannot be decided without its tool, so no departure stops dryfit from asking for it.
  const isDeparted = !guarded && departureFor(job, 'tool-out-of-date', step) !== undefined;
  return isDeparted ? [] : [{ want: 'tool', kind }];
};

/** Asks for the lots, then for the shop, before the batch is weighed: where the procedure needs them and nothing is known. */
const mixWants = (job: JobState, step: Step, mix: Mix): readonly Want[] => {
  const need = job.plan.gather.materials.find((one) => one.material === mix.material);
  const isNamed = (part: string): boolean =>
    job.lots.some((lot) => lot.material === mix.material && (lot.part === undefined || lot.part === part));
  const isMissing = (need?.lot === true || need?.inDate === true) && !mix.ratio.every(({ part }) => isNamed(part));
  const wantsLot = isMissing && departureFor(job, 'lot-missing', step) === undefined;
  return [
    ...(wantsLot ? [{ want: 'lot' as const, material: mix.material }] : []),
    ...(job.plan.gather.shop && job.shop.length === 0 ? [{ want: 'shop' as const, asked: true as const }] : []),
  ];
};

/** What is asked before a part is entered: its tool, its lots, the shop. */
export const wantsBefore = (job: JobState, step: Step, wanted: Wanted, moment: Moment): readonly Want[] => {
  if (wanted.part === 'reading') return toolWants(job, step, wanted.reading.tool, isGuarded(wanted.reading), moment);
  if (wanted.part === 'tighten') return toolWants(job, step, wanted.tighten.tool, false, moment);
  return wanted.part === 'mix' ? mixWants(job, step, wanted.mix) : [];
};
