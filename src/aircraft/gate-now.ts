import type { GateSheet } from '../job/gate-sheet.ts';
import { gatePassedAt } from './gates/passed.ts';
import { gateSheetOf } from './gates/sheet.ts';
import type { BuildState } from './state.ts';
import { aroundOf } from './surroundings.ts';

/** A gate sheet as it stands, and when the gate was passed (RFC 3339), where it was. */
export interface GateNow extends GateSheet {
  readonly passed?: string;
}

/** @param at ms since 1970. */
export const sheetNow = (state: BuildState, gate: string, at: number): GateNow => {
  const passed = gatePassedAt(state, gate);
  const sheet = gateSheetOf(state, gate, (job) => aroundOf(state, job, at));
  return { ...sheet, ...(passed === undefined ? {} : { passed }) };
};

/** The first gate, in the order of the build, that is not passed; `undefined` where all are, and where the build names none. */
export const nextGate = (state: BuildState): string | undefined =>
  state.file.gates.find((gate) => gatePassedAt(state, gate) === undefined);

/** Every gate by name: those of the build in their order, then others that jobs pass or loose items name. */
export const gatesKnown = (state: BuildState): readonly string[] => [
  ...new Set([...state.file.gates, ...state.pages.flatMap(({ gates }) => gates)]),
];
