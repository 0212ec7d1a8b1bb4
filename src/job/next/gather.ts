import { own } from '../../fault/own.ts';
import type { Mix, Reading, Step } from '../../procedure/model.ts';
import { departureFor } from '../departure.ts';
import { lotsInUse, materialNeed, wantsLot } from '../lots.ts';
import type { Moment } from '../moment.ts';
import type { Wanted } from '../parts/part.ts';
import { materialsOwed } from '../refusals/lots.ts';
import { wetSteps } from '../refusals/mixing.ts';
import { isGlued } from '../refusals/opening.ts';
import { serialsUnnamed } from '../refusals/serials.ts';
import { serialsOwedIn } from '../serials.ts';
import { shopUnknown } from '../shop.ts';
import type { JobState } from '../state.ts';
import type { Want, WantOf } from './want.ts';

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

/** Asks for the lots and serial numbers that a step takes in hand, before it begins. The departure is bound to the step that is decided. */
const takingWants = (job: JobState, step: Step, decided: Step): readonly Want[] => {
  const lots =
    departureFor(job, 'lot-missing', decided) === undefined
      ? step.materials.filter(
          (material) => wantsLot(materialNeed(job, material)) && lotsInUse(job, material).length === 0,
        )
      : [];
  const serials = departureFor(job, 'serial-missing', decided) === undefined ? serialsOwedIn(job, step) : [];
  return [
    ...lots.map((material) => ({ want: 'lot' as const, material })),
    ...serials.map(({ need, owed }) => ({ want: 'serial' as const, part: need.part, missing: owed })),
  ];
};

/** What is asked before a step begins: what it takes in hand. Of a step with wet glue this was asked before its mix. */
export const wantsAtOpening = (job: JobState, step: Step, isBegun: boolean): readonly Want[] =>
  isBegun || isGlued(step) ? [] : takingWants(job, step, step);

/** Lots and serial numbers that no step asks for, which are asked for before completion. */
export const wantsAtCompletion = (job: JobState): readonly (WantOf<'lot'> | WantOf<'serial'>)[] => [
  ...(departureFor(job, 'lot-missing', undefined) ? [] : materialsOwed(job)).map((material) => ({
    want: 'lot' as const,
    material,
  })),
  ...(departureFor(job, 'serial-missing', undefined) ? [] : serialsUnnamed(job)).map(({ need, owed }) => ({
    want: 'serial' as const,
    part: need.part,
    missing: owed,
  })),
];

/** Asks for the lots, the scale and the shop before the batch is weighed: where the procedure needs them and they are not known. */
const mixWants = (job: JobState, step: Step, mix: Mix, moment: Moment): readonly Want[] => {
  const need = materialNeed(job, mix.material);
  const isNamed = (part: string): boolean =>
    job.lots.some((lot) => lot.material === mix.material && (lot.part === undefined || lot.part === part));
  const isMissing = wantsLot(need) && !mix.ratio.every(({ part }) => isNamed(part));
  const asksLot = isMissing && departureFor(job, 'lot-missing', step) === undefined;
  const unknown = departureFor(job, 'shop-outside', step) === undefined ? shopUnknown(job, step, moment) : [];
  return [
    ...(asksLot ? [{ want: 'lot' as const, material: mix.material }] : []),
    ...wetSteps(job, step).flatMap((wet) => takingWants(job, wet, step)),
    ...toolWants(job, step, mix.tool, false, moment),
    ...(unknown.length > 0 ? [{ want: 'shop' as const, unknown }] : []),
  ];
};

/** What is asked before a part is entered: its tool, its lots, the shop. */
export const wantsBefore = (job: JobState, step: Step, wanted: Wanted, moment: Moment): readonly Want[] => {
  if (wanted.part === 'reading') return toolWants(job, step, wanted.reading.tool, isGuarded(wanted.reading), moment);
  if (wanted.part === 'tighten') return toolWants(job, step, wanted.tighten.tool, false, moment);
  return wanted.part === 'mix' ? mixWants(job, step, wanted.mix, moment) : [];
};
