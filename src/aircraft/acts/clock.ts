import { err, ok } from '../../fault/fault.ts';
import { clockFault, evolveClock } from '../clock.ts';
import { taken, type BuildAct } from './act.ts';
import { notCorrected } from '../../job/acts/correctable.ts';

/** A person enters the true time, which ends a doubt about the clock. */
export const clockAct: BuildAct<'clock'> = {
  decide: (ask) => {
    const fault = clockFault(ask.data.time, ask.command.at);
    return fault ? err(fault) : taken(ask, {});
  },
  evolve: (state, entry) => ok(evolveClock(state, entry)),
  words: () => 'the time is entered',
  correct: notCorrected('enter the true time again (clock)'),
};
