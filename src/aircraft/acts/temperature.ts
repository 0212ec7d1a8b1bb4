import { err, ok, usage, type Fault } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import { lastBefore, type Thermometers } from '../../job/temperatures.ts';
import { temperatureFault } from '../../job/thermometer.ts';
import { printInstant } from '../../quantity/time.ts';
import type { BuildState } from '../state.ts';
import { withMark } from '../marks.ts';
import { markOf } from '../temperatures.ts';
import { taken, type BuildAct, type BuildAsk } from './act.ts';
import { correctedTemperature } from './correct-temperature.ts';

const thermometersOf = ({ temperatures, logs }: BuildState): Thermometers => ({
  temperatures: (place) => own(temperatures, place) ?? [],
  logs: (place) => own(logs, place) ?? [],
});

const sinceFault = ({ data, at }: BuildAsk<'temperature'>): Fault | undefined => {
  const { lowest, since } = data;
  if (since === undefined) return undefined;
  if (lowest === undefined)
    return usage('field-missing', 'since says from when lowest counts, and there is no lowest', 'give lowest too');
  return msOf(since) > at.ms
    ? usage('value-unreadable', `since ${since} is after the reading itself`, 'say when the thermometer was last reset')
    : undefined;
};

/**
 * From when the lowest temperature counts: as the person says, else from the temperature before it. Where there is none, only at the
 * instant of the reading itself. The entry keeps it, so that no later entry changes it.
 */
const sinceOf = ({ state, data, at }: BuildAsk<'temperature'>): string => {
  const before = lastBefore(thermometersOf(state), data.place ?? '', at.ms);
  return data.since ?? printInstant(before?.ms ?? at.ms, at.offset);
};

/** A person enters the temperature of a place, read from a thermometer. */
export const temperatureAct: BuildAct<'temperature'> = {
  decide: (ask) => {
    const { temperature, lowest } = ask.data;
    const fault = temperatureFault(temperature, lowest) ?? sinceFault(ask);
    if (fault) return err(fault);
    if (lowest === undefined) return taken(ask, {});
    const since = sinceOf(ask);
    const told =
      msOf(since) < ask.at.ms
        ? []
        : [`no temperature was entered before this one, so lowest ${lowest} counts for no time: say from when (since)`];
    return taken(ask, { since }, told);
  },
  evolve: (state, entry) => {
    const { temperature: read, lowest, since, place = '' } = entry.data;
    return ok(withMark(state, place, markOf(state, entry, { temperature: read, lowest, since, isSurface: false })));
  },
  words: (data) => `${data.temperature} entered`,
  correct: correctedTemperature,
};
