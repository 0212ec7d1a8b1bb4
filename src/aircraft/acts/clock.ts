import { err, ok } from '../../fault/fault.ts';
import { clockFault, evolveClock } from '../clock.ts';
import { taken, type BuildAct } from './act.ts';

/** The true time, after clock trouble. */
export const clockAct: BuildAct<'clock'> = {
  decide: (ask) => {
    const fault = clockFault(ask.data.time, ask.command.at);
    return fault ? err(fault) : taken(ask, {});
  },
  evolve: (state, entry) => ok(evolveClock(state, entry)),
  words: () => 'the time is entered',
};
