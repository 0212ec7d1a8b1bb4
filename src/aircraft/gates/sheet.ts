import { contradictionText } from '../../job/contradiction.ts';
import { isDueBefore, looseItemsDue, plannedItems, settleItems } from '../../job/gate.ts';
import { gateItemKinds, type ExceptedItem, type GateItem, type GateSheet } from '../../job/gate-sheet.ts';
import type { JobState } from '../../job/state.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import { isWithdrawn } from '../../job/where.ts';
import { jobsOf, openContradictions, type BuildState } from '../state.ts';
import { isNotNeeded, openBulletins } from './bulletins.ts';
import { passesGate } from './passed.ts';
import { lastGate, planOf, type PlannedSide } from './plan.ts';

type AroundOf = (job: JobState) => Surroundings;

/** What is planned before a gate; before the last one, the whole plan. */
const plannedBefore = (state: BuildState, gate: string): readonly PlannedSide[] => {
  const { gates } = state.file;
  return planOf(state).filter(
    ({ before }) => before !== undefined && (gate === lastGate(state.file) || isDueBefore(gates, before, gate)),
  );
};

/** A procedure that passes the gate itself is not wanted before it: several that pass one gate would wait for each other for ever. */
const isPassing = ({ gates, procedure }: PlannedSide, gate: string, passing: ReadonlySet<string>): boolean =>
  gates.includes(gate) || passing.has(procedure);

const notBegun = ({ procedure, side }: PlannedSide): GateItem => {
  const name = side === undefined ? procedure : `${procedure} ${side}`;
  return { kind: 'not-begun', what: name, key: `not-begun ${name}` };
};

const ofPlan = (state: BuildState, gate: string, jobs: readonly JobState[]): readonly GateItem[] => {
  const passing = new Set(jobs.filter((job) => passesGate(job, gate)).map(({ procedure }) => procedure));
  const due = plannedBefore(state, gate);
  const bulletins = openBulletins(state, due, gate === lastGate(state.file));
  const isAnswering = ({ procedure }: PlannedSide): boolean => bulletins.some((one) => one.procedure === procedure);
  return [
    ...due
      .filter((planned) => !isPassing(planned, gate, passing))
      .flatMap((planned) => {
        const { procedure, side, doneBefore } = planned;
        const own = jobs.filter((job) => job.procedure === procedure && job.side === side);
        if (own.length > 0) return own.flatMap(plannedItems);
        const isNotWanted = doneBefore !== undefined || isAnswering(planned) || isNotNeeded(state, procedure);
        return isNotWanted ? [] : [notBegun(planned)];
      }),
    ...bulletins.map(({ item }) => item),
  ];
};

const ofContradictions = (state: BuildState, job: JobState): readonly GateItem[] =>
  openContradictions(state, job.id).map((one) => ({
    kind: 'nonconformance',
    what: contradictionText(one),
    job: job.id,
    key: `contradiction ${one.entry.id}`,
  }));

/** Everything that a gate wants and that is open, excepted or not, in the order of the kinds. */
const wantedAt = (state: BuildState, gate: string, aroundOf: AroundOf): readonly GateItem[] => {
  const jobs = jobsOf(state).filter((job) => !isWithdrawn(job));
  const items = [
    ...ofPlan(state, gate, jobs),
    ...jobs.flatMap((job) => [...settleItems(job, aroundOf(job)), ...ofContradictions(state, job)]),
    // A loose item ends by its count alone: it outlives even the job that left it.
    ...jobsOf(state).flatMap((job) => looseItemsDue(job, gate, aroundOf(job))),
  ];
  return gateItemKinds.flatMap((kind) => items.filter((item) => item.kind === kind));
};

/** Each item that a departure excepts at a gate, by its key, with its reason. The latest departure counts. */
const exceptionsAt = (state: BuildState, gate: string): ReadonlyMap<string, Pick<ExceptedItem, 'because' | 'by'>> =>
  new Map(
    jobsOf(state)
      .filter((job) => !isWithdrawn(job))
      .flatMap(({ departures }) => departures)
      .filter(({ excepts }) => excepts?.gate === gate)
      .flatMap(({ because, by, excepts }) => (excepts?.items ?? []).map(({ key }) => [key, { because, by }] as const)),
  );

/**
 * Rule 11 of the design: what a gate still wants, and which of it a departure excepts by name. What was not open when the departure was
 * entered is not excepted.
 */
export const gateSheetOf = (state: BuildState, gate: string, aroundOf: AroundOf): GateSheet => {
  const exceptions = exceptionsAt(state, gate);
  const open: GateItem[] = [];
  const excepted: ExceptedItem[] = [];
  for (const item of wantedAt(state, gate, aroundOf)) {
    const exception = exceptions.get(item.key);
    if (exception === undefined) open.push(item);
    else excepted.push({ ...item, ...exception });
  }
  return { gate, open, excepted };
};
