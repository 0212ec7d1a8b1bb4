import { decimalTicks, mostDecimals, type Scale } from '../../quantity/ticks.ts';

const pattern = /^([+\-\u2212]?)(\d{1,4})(?:[.,](\d+))?\s*(?:[°º˚]\s*)?([CFK])?$/i;

const scaleNamed: Readonly<Record<string, Scale>> = { c: '°C', f: '°F', k: 'K' };

/** A temperature as a cell gives it, with the unit written in the cell. */
export interface Degrees {
  /** The digits without their decimal point, as an integer. */
  readonly whole: number;
  /** How many of the digits are decimals. */
  readonly decimals: number;
  readonly scale?: Scale;
}

/**
 * Reads `20.5`, `-3,25` or `68 °F`, without exponents and thousands separators. A decimal comma is as good as a point, because no shop has
 * a thousand degrees.
 */
export const readDegrees = (text: string): Degrees | undefined => {
  const parts = pattern.exec(text);
  if (parts === null) return undefined;
  const decimals = (parts[3] ?? '').replace(/0+$/, '');
  if (decimals.length > mostDecimals) return undefined;
  const whole = Number(`${parts[2]}${decimals}`) * (parts[1] === '' || parts[1] === '+' ? 1 : -1);
  const scale = scaleNamed[(parts[4] ?? '').toLowerCase()];
  return { whole, decimals: decimals.length, ...(scale ? { scale } : {}) };
};

/** The scale named in a heading: `Temperature (°C)`, `temp_f`, `Temp, °F`, `degrees celsius`. */
export const scaleIn = (heading: string): Scale | undefined => {
  const words = heading.toLowerCase().replaceAll('_', ' ');
  const letter =
    /(?:[°º˚]|\bdeg(?:rees?|\.)?)\s*([cfk])(?![a-z])/.exec(words)?.[1] ??
    /\b(c|f|k)(?:elsius|ahrenheit|elvin)\b/.exec(words)?.[1] ??
    /[\s([,/]([cfk])[)\]]?\s*$/.exec(words)?.[1];
  return letter === undefined ? undefined : scaleNamed[letter];
};

/** The temperature in ticks above absolute zero, or why it cannot be the temperature of a shop. */
export const ticksIn = ({ whole, decimals }: Degrees, scale: Scale): number | string => {
  const ticks = decimalTicks(whole, decimals, scale);
  if (ticks < 0) return 'is below absolute zero';
  return ticks > decimalTicks(1000, 0, '°C') ? 'is no temperature of a shop' : ticks;
};
