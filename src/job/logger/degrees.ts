import { decimalTicks, mostDecimals, type Scale } from '../../quantity/ticks.ts';

const pattern = /^([+\-\u2212]?)(\d{1,4})(?:[.,](\d+))?\s*(?:[°º˚]\s*)?([CFK])?$/i;

const scaleNamed: Readonly<Record<string, Scale>> = { c: '°C', f: '°F', k: 'K' };

/** Degrees: a temperature in a cell, with the unit that stands in it. */
export interface Degrees {
  readonly whole: number;
  readonly decimals: number;
  readonly scale?: Scale;
}

/** `20.5`, `-3,25`, `68 °F`: no exponent, no thousands. A decimal comma is as good as a point: no shop has a thousand degrees. */
export const readDegrees = (text: string): Degrees | undefined => {
  const parts = pattern.exec(text);
  if (parts === null) return undefined;
  const decimals = (parts[3] ?? '').replace(/0+$/, '');
  if (decimals.length > mostDecimals) return undefined;
  const whole = Number(`${parts[2]}${decimals}`) * (parts[1] === '' || parts[1] === '+' ? 1 : -1);
  const scale = scaleNamed[(parts[4] ?? '').toLowerCase()];
  return { whole, decimals: decimals.length, ...(scale ? { scale } : {}) };
};

/** In the words of a heading: `Temperature (°C)`, `temp_f`, `Temp, °F`, `degrees celsius`. */
export const scaleIn = (heading: string): Scale | undefined => {
  const words = heading.toLowerCase().replaceAll('_', ' ');
  const letter =
    /(?:[°º˚]|\bdeg(?:rees?|\.)?)\s*([cfk])(?![a-z])/.exec(words)?.[1] ??
    /\b(c|f|k)(?:elsius|ahrenheit|elvin)\b/.exec(words)?.[1] ??
    /[\s([,/]([cfk])[)\]]?\s*$/.exec(words)?.[1];
  return letter === undefined ? undefined : scaleNamed[letter];
};

/** Ticks above absolute zero, or why it is no temperature of a shop. */
export const ticksIn = ({ whole, decimals }: Degrees, scale: Scale): number | string => {
  const ticks = decimalTicks(whole, decimals, scale);
  if (ticks < 0) return 'is below absolute zero';
  return ticks > decimalTicks(1000, 0, '°C') ? 'is no temperature of a shop' : ticks;
};
