import { usage, type Fault } from '../fault/fault.ts';
import { compareQuantities } from '../quantity/quantity.ts';
import { isWholeTicks } from '../quantity/ticks.ts';
import { temperatureOf } from './temperatures.ts';

/** A fault where a text is not a temperature, or is finer than any thermometer shows. */
export const thermometerFault = (name: string, text: string | undefined): Fault | undefined => {
  if (text === undefined) return undefined;
  const read = temperatureOf(text);
  if (!read) return usage('value-unreadable', `${name} '${text}' is not a temperature`, 'give it as 18.5 °C or 65 °F');
  return isWholeTicks(read.base)
    ? undefined
    : usage(
        'value-unreadable',
        `${name} '${text}' is finer than a thermometer shows`,
        'give it as a decimal, as in 18.5 °C',
      );
};

/** Checks a temperature by itself: it can be read, and its `lowest` is not above it. */
export const temperatureFault = (temperature: string, lowest: string | undefined): Fault | undefined => {
  const fault = thermometerFault('temperature', temperature) ?? thermometerFault('lowest', lowest);
  if (fault) return fault;
  const [now, low] = [temperature, lowest].map((text) =>
    text === undefined ? undefined : temperatureOf(text)?.quantity,
  );
  return now && low && compareQuantities(low, now) > 0
    ? usage(
        'value-unreadable',
        `the lowest, ${lowest ?? ''}, is above the reading, ${temperature}`,
        'read the thermometer again',
      )
    : undefined;
};
