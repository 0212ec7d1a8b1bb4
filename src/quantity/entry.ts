import Fraction from 'fraction.js';
import { err, ok, type Outcome } from '../fault/fault.ts';
import { readNumber, unreadableNumber } from './number.ts';
import { findUnit, unitNamed, type Dimension, type Unit } from './units.ts';

/** A number and what stood behind it. `unit` is there only where several units were read as one value: `15°30'`, `5 ft 6 in`. */
export interface EnteredNumber {
  readonly amount: Fraction;
  readonly unitText: string;
  readonly unit?: Unit;
}

/** Units that people chain, largest first. An angle is kept in degrees, anything else in the smallest unit that was written. */
const chains: readonly { readonly dimension: Dimension; readonly names: readonly string[] }[] = [
  { dimension: 'length', names: ['ft', 'in'] },
  { dimension: 'angle', names: ['°', '′', '″'] },
  { dimension: 'time', names: ['d', 'h', 'min', 's'] },
  { dimension: 'mass', names: ['lb', 'oz'] },
];

/** Behind degrees, a minute and a second are of arc: `15 deg 30 min`. */
const ofArc: Readonly<Record<string, string>> = {
  min: '′',
  mins: '′',
  minute: '′',
  minutes: '′',
  sec: '″',
  s: '″',
  seconds: '″',
};

const linkUnit = (text: string, dimension: Dimension): Unit | undefined =>
  findUnit(text, dimension) ?? (dimension === 'angle' ? findUnit(ofArc[text] ?? '', dimension) : undefined);

const mostLinks = 4;

interface Link {
  readonly amount: Fraction;
  readonly text: string;
}

const linksOf = (text: string): Outcome<readonly Link[]> => {
  const links: Link[] = [];
  for (let at = 0; at < text.length;) {
    const number = readNumber(text, at);
    if (!number.ok) return number;
    const rest = /[^\d¼½¾⅐-⅞+]*/y;
    rest.lastIndex = number.value.end;
    const unitText = rest.exec(text)?.[0] ?? '';
    if (unitText === '' || links.length === mostLinks)
      return err(unreadableNumber(text, 'it has more than one number'));
    links.push({ amount: number.value.amount, text: unitText.trim() });
    at = number.value.end + unitText.length;
  }
  return ok(links);
};

const whole = (value: Fraction): boolean => value.d === 1n;

const chained = (text: string, links: readonly Link[], dimension: Dimension | undefined): Outcome<EnteredNumber> => {
  const negative = text.startsWith('-');
  for (const chain of chains) {
    if (dimension !== undefined && dimension !== chain.dimension) continue;
    const units = links.map((link) => linkUnit(link.text, chain.dimension));
    const places = units.map((unit) => chain.names.indexOf(unit?.name ?? ''));
    if (places.some((place, n) => place < 0 || (n > 0 && place <= (places[n - 1] ?? 0)))) continue;
    let base = new Fraction(0);
    for (const [n, link] of links.entries()) {
      const unit = units[n];
      const larger = units[n - 1];
      if (unit === undefined) continue;
      if (n < links.length - 1 && !whole(link.amount))
        return err(unreadableNumber(text, 'only the last part may have a fraction'));
      if (larger !== undefined && (link.amount.s < 0n || link.amount.mul(unit.factor).gte(larger.factor)))
        return err(unreadableNumber(text, `${link.text} must be less than one ${larger.name}`));
      base = base.add(link.amount.mul(unit.factor).mul(negative && n > 0 ? -1 : 1));
    }
    const keep = chain.dimension === 'angle' ? unitNamed('°') : units.at(-1);
    if (keep === undefined) continue;
    return ok({ amount: base.div(keep.factor), unitText: '', unit: keep });
  }
  return err(unreadableNumber(text, 'it has more than one number or unit'));
};

/** Reads the number and leaves the unit as text. The text must have gone through `plainText`. */
export const readEnteredNumber = (text: string, dimension?: Dimension): Outcome<EnteredNumber> => {
  if (text === '') return err(unreadableNumber(text, 'nothing was entered'));
  const number = readNumber(text, 0);
  if (!number.ok) return number;
  const unitText = text.slice(number.value.end).trim();
  const further = /[\d¼½¾⅐-⅞]/.test(unitText);
  if (!further || findUnit(unitText) !== undefined) return ok({ amount: number.value.amount, unitText });
  if (/^e[+-]?\d/i.test(unitText))
    return err(unreadableNumber(text, 'it has an exponent', 'write the number out, as in 12000 N'));
  const links = linksOf(text);
  return links.ok ? chained(text, links.value, dimension) : links;
};
