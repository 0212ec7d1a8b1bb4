import type { FittedAt, Surroundings, PersonNow, ToolNow } from '../job/surroundings.ts';
import type { JobState, PartFitted } from '../job/state.ts';
import type { Procedure } from '../procedure/model.ts';
import { isNotDone, stepApplies } from '../job/step-state.ts';
import { isClosed, isDone, isWithdrawn } from '../job/where.ts';
import { coveringOf } from './covered.ts';
import { clockTroubleAt } from './clock.ts';
import { gatePassedAt } from './gates/passed.ts';
import { gateSheetOf } from './gates/sheet.ts';
import { contradictionsUnder } from './resting.ts';
import { overbuiltIn } from './over.ts';
import { once, memoised } from '../fault/memo.ts';
import { jobsOfProcedure, jobsWith, nameOf, openContradictions, peopleOf, powersOf, type BuildState } from './state.ts';
import { lotIn, partIn } from './stock.ts';
import { nextNumber } from './numbers.ts';
import { fitsParts, leavesLoose, proves, underWay } from './traits.ts';
import { own } from '../fault/own.ts';

/** Everybody whom the build knows, as decisions see them. */
export const peopleNow = memoised((state: BuildState): Readonly<Record<string, PersonNow>> =>
  Object.fromEntries(
    peopleOf(state).map((person) => {
      const name = nameOf(state, person);
      const follows = own(state.following, person)?.person;
      const more = { ...(name === undefined ? {} : { name }), ...(follows === undefined ? {} : { follows }) };
      return [person, { person, powers: powersOf(state, person), ...more }];
    }),
  ),
);

export const toolsNow = memoised((state: BuildState): Readonly<Record<string, ToolNow>> =>
  Object.fromEntries(
    state.file.tools.map((line) => {
      const { tool, kind, uncertainty, resolution, calibration } = line;
      const inDateUntil = line['in-date-until'];
      return [
        tool,
        {
          tool,
          kind,
          found: own(state.found, tool) ?? [],
          ...(inDateUntil === undefined ? {} : { inDateUntil }),
          ...(uncertainty === undefined ? {} : { uncertainty }),
          ...(resolution === undefined ? {} : { resolution }),
          ...(calibration === undefined ? {} : { calibration }),
        },
      ];
    }),
  ),
);

/** The latest job of each other side of the same procedure. */
const otherSides = (state: BuildState, job: JobState): readonly JobState[] => {
  const latest = new Map<string, JobState>();
  for (const other of jobsOfProcedure(state, job.procedure))
    if (other.side !== undefined && other.side !== job.side && !isWithdrawn(other)) latest.set(other.side, other);
  return [...latest.values()];
};

const provedElsewhere = (state: BuildState, job: JobState, feature: string): string | undefined => {
  const before = state.file.beforeDryfit.find((line) => line.feature === feature);
  if (before) return `before dryfit, ${before.shown}, ${before.date}`;
  for (const other of jobsWith(state, proves)) {
    const step =
      other.id === job.id
        ? undefined
        : other.plan.steps.find((one) => one.proves.includes(feature) && stepApplies(other, one) && isDone(other, one));
    if (step) return `${other.id} ${step.step}`;
  }
  return undefined;
};

const stillReaching = (
  state: BuildState,
  job: JobState,
  area: string,
): readonly { readonly job: string; readonly step: string }[] =>
  jobsWith(state, underWay)
    .filter((other) => other.id !== job.id)
    .flatMap((other) =>
      other.plan.steps
        .filter(
          (step) =>
            step.reaches.includes(area) && stepApplies(other, step) && !isDone(other, step) && !isNotDone(other, step),
        )
        .map((step) => ({ job: other.id, step: step.step })),
    );

const lotsUsedIn = (state: BuildState, procedure: string, material: string): readonly string[] => {
  const last = jobsOfProcedure(state, procedure).findLast(isClosed);
  const mixes = new Set(last?.plan.steps.filter((step) => step.mix?.material === material).map((step) => step.step));
  const mixed =
    last?.batches.filter((batch) => mixes.has(batch.step)).flatMap((batch) => Object.values(batch.lots)) ?? [];
  const taken = new Set(last?.taken.filter((one) => one.superseded === undefined).map((one) => one.lot));
  const lots = last?.lots.filter((lot) => lot.material === material) ?? [];
  const used = [...mixed, ...lots.filter((lot) => taken.has(lot.entry)).map((lot) => lot.number)];
  return [...new Set(used.length > 0 ? used : lots.map((lot) => lot.number))];
};

/** Where a part is built in: the last place that was not taken apart since. A serial number means the same in any case of its letters. */
const fittedAt = (state: BuildState, part: string, serial: string): FittedAt | undefined => {
  const same = (one: PartFitted): boolean =>
    one.part === part &&
    one.superseded === undefined &&
    one.serial.trim().toLowerCase() === serial.trim().toLowerCase();
  for (const job of jobsWith(state, fitsParts)) {
    const one = job.fitted.findLast(same);
    if (one) return { job: job.id, entry: one.entry, ...(one.step === undefined ? {} : { step: one.step }) };
  }
  return undefined;
};

/** One empty list for every place without temperatures, so that whatever is remembered by its list is worked out once. */
const none: readonly never[] = [];

/** Who asks, and about what. */
interface Asked {
  /** Who will write: their clock is compared with the time of their own last line; absent, with the last line of all writers. */
  readonly writer?: string | undefined;
  /** The procedure text that the command names. */
  readonly named?: Procedure | undefined;
}

/**
 * What one job must know about the build around it at one instant (`at`, ms since 1970). Each list is worked out only when a rule asks for
 * it, because it goes through every job of the build and most decisions need one or two. Never copy the object: a copy would work out all
 * of them.
 */
export const aroundOf = (state: BuildState, job: JobState, at: number, { writer, named }: Asked = {}): Surroundings => {
  const trouble = clockTroubleAt(state, at, writer);
  const sides = once(() => otherSides(state, job));
  const loose = once(() =>
    jobsWith(state, leavesLoose).flatMap((other) =>
      other.loose.map((item) => ({ ...item, job: other.id, side: other.side })),
    ),
  );
  return {
    people: peopleNow(state),
    gates: state.file.gates,
    tools: toolsNow(state),
    lot: (material, number) => lotIn(state, material, number),
    part: (part, serial, lot) => partIn(state, part, serial, lot),
    fittedAt: (part, serial) => fittedAt(state, part, serial),
    temperatures: (place) => own(state.temperatures, place) ?? none,
    logs: (place) => own(state.logs, place) ?? none,
    get otherSides() {
      return sides();
    },
    provedElsewhere: (feature) => provedElsewhere(state, job, feature),
    coveredBy: (area) => coveringOf(state, area),
    stillReaching: (area) => stillReaching(state, job, area),
    gatePassed: (gate) => gatePassedAt(state, gate) !== undefined,
    gateSheet: (gate) => gateSheetOf(state, gate, (other) => aroundOf(state, other, at)),
    get looseItems() {
      return loose();
    },
    lotsUsedIn: (procedure, material) => lotsUsedIn(state, procedure, material),
    builtOver: () => overbuiltIn(state, job),
    contradictions: openContradictions(state, job.id),
    contradictionsUnder: (step) => contradictionsUnder(state, job, step),
    struck: state.struck,
    nextBatch: nextNumber(state, 'batches', writer),
    nextTag: nextNumber(state, 'tags', writer),
    clockSince: state.clockTrouble ? Infinity : state.clockSince,
    ...(trouble === undefined ? {} : { clockTrouble: trouble }),
    ...(named === undefined ? {} : { named }),
  };
};
