import { own } from '../fault/own.ts';
import type { TemperatureMark } from '../job/surroundings.ts';
import { withValue, type BuildState } from './state.ts';

/** Adds a temperature. Marks are kept in order of time; at one instant, in the order of entry. */
export const withMark = (state: BuildState, place: string, mark: TemperatureMark): BuildState => {
  const marks = own(state.temperatures, place) ?? [];
  const index = marks.findLastIndex((one) => one.ms <= mark.ms) + 1;
  return { ...state, temperatures: withValue(state.temperatures, place, marks.toSpliced(index, 0, mark)) };
};

/**
 * The build without the temperatures of an entry. Places that had none of it keep the same list object, so that what was worked out from it
 * stays valid.
 */
export const withoutMarks = (state: BuildState, entry: string): BuildState => ({
  ...state,
  temperatures: Object.fromEntries(
    Object.entries(state.temperatures).map(([place, marks]) => [
      place,
      marks.some((mark) => mark.entry === entry) ? marks.filter((mark) => mark.entry !== entry) : marks,
    ]),
  ),
});
