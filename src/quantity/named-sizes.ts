import Fraction from 'fraction.js';
import { once } from '../fault/memo.ts';

/**
 * Sizes that go by a name and not by a unit: number and letter drills, and wire gauges. Each is a length in inches, and compares as one.
 *
 * Number drills from 80 to 1, then letter drills from A to Z, inch: two public charts, the same in every size.
 */
const numberDrills = `
  .0135 .0145 .0160 .0180 .0200 .0210 .0225 .0240 .0250 .0260 .0280 .0292 .0310 .0320 .0330 .0350 .0360 .0370 .0380 .0390
  .0400 .0410 .0420 .0430 .0465 .0520 .0550 .0595 .0635 .0670 .0700 .0730 .0760 .0785 .0810 .0820 .0860 .0890 .0935 .0960
  .0980 .0995 .1015 .1040 .1065 .1100 .1110 .1130 .1160 .1200 .1285 .1360 .1405 .1440 .1470 .1495 .1520 .1540 .1570 .1590
  .1610 .1660 .1695 .1730 .1770 .1800 .1820 .1850 .1890 .1910 .1935 .1960 .1990 .2010 .2040 .2055 .2090 .2130 .2210 .2280`;
const letterDrills = `
  .234 .238 .242 .246 .250 .257 .261 .266 .272 .277 .281 .290 .295
  .302 .316 .323 .332 .339 .348 .358 .368 .377 .386 .397 .404 .413`;

const listOf = (text: string): readonly string[] => text.trim().split(/\s+/);

const drills = once(
  (): ReadonlyMap<string, string> =>
    new Map([
      ...listOf(numberDrills).map((size, n) => [`${80 - n}`, size] as const),
      ...listOf(letterDrills).map((size, n) => [String.fromCodePoint(65 + n), size] as const),
    ]),
);

const drill = (name: string): Fraction | undefined => {
  const size = drills().get(name.toUpperCase());
  return size === undefined ? undefined : new Fraction(size);
};

/**
 * The diameter of the solid conductor of a wire gauge, inch, to the 0.0001 in of the printed tables: 0.005 × 92^((36 − n)/39), where 00 is
 * −1, 000 is −2 and 0000 is −3 (ASTM B258, from memory). A strand of many wires is thicker: the gauge is its size, not its diameter.
 */
const gauge = (name: string): Fraction | undefined => {
  const n = /^0+$/.test(name) ? 1 - name.length : Number(name);
  return n < -3 || n > 40 ? undefined : new Fraction(Math.round(50 * 92 ** ((36 - n) / 39)), 10_000);
};

/** `#30` is a drill; a wire gauge says AWG. */
const forms: readonly (readonly [pattern: RegExp, sizeOf: (name: string) => Fraction | undefined])[] = [
  [/^awg ?#? ?(\d{1,4})$/i, gauge],
  [/^#? ?(\d{1,4}) ?awg$/i, gauge],
  [/^(?:# ?|(?:drill )?(?:no\.?|number) ?)(\d{1,2})(?: drill)?$/i, drill],
  [/^drill (?:size )?#? ?(\d{1,2}|[a-z])$/i, drill],
  [/^#?(\d{1,2}) drill$/i, drill],
  [/^(?:drill )?letter ([a-z])(?: drill)?$/i, drill],
  [/^([a-z]) drill$/i, drill],
];

/** In inches, exact as printed; undefined where the text names no such size. The text must have gone through `plainText`. */
export const namedSize = (text: string): Fraction | undefined => {
  if (text.length > 20) return undefined;
  for (const [pattern, sizeOf] of forms) {
    const name = pattern.exec(text)?.[1];
    const size = name === undefined ? undefined : sizeOf(name);
    if (size !== undefined) return size;
  }
  return undefined;
};
