import { err, ok } from '../../fault/fault.ts';
import { temperatureFault } from '../../job/thermometer.ts';
import { markOf, withMark } from '../temperatures.ts';
import { taken, type BuildAct } from './act.ts';

/** A person enters the temperature of a place, read from a thermometer. */
export const temperatureAct: BuildAct<'temperature'> = {
  decide: (ask) => {
    const fault = temperatureFault(ask.data.temperature, ask.data.lowest);
    return fault ? err(fault) : taken(ask, {});
  },
  evolve: (state, entry) => {
    const { temperature: read, lowest, place = '' } = entry.data;
    return ok(withMark(state, place, markOf(state, entry, { temperature: read, lowest, isSurface: false })));
  },
  words: (data) => `${data.temperature} entered`,
};
