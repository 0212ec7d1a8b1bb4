import Fraction from 'fraction.js';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';

/** Longer text is nobody's measurement; refusing it keeps every reading of text short. */
export const longestText = 200;
const mostDigits = 30;

const vulgar: Readonly<Record<string, readonly [bigint, bigint]>> = {
  '¼': [1n, 4n],
  '½': [1n, 2n],
  '¾': [3n, 4n],
  '⅐': [1n, 7n],
  '⅑': [1n, 9n],
  '⅒': [1n, 10n],
  '⅓': [1n, 3n],
  '⅔': [2n, 3n],
  '⅕': [1n, 5n],
  '⅖': [2n, 5n],
  '⅗': [3n, 5n],
  '⅘': [4n, 5n],
  '⅙': [1n, 6n],
  '⅚': [5n, 6n],
  '⅛': [1n, 8n],
  '⅜': [3n, 8n],
  '⅝': [5n, 8n],
  '⅞': [7n, 8n],
};

/**
 * One spelling of spaces, minus signs, fraction slashes and quotes. A thin space between groups of three digits separates thousands
 * (the SI way); an ordinary space never does.
 */
export const plainText = (text: string): string => {
  const trimmed = text.trim();
  if (/^[\x20-\x7e]*$/.test(trimmed)) return trimmed.replace(/''/g, '"');
  return trimmed
    .replace(/(?<![\d.,/⁄∕])\d{1,3}(?:[\u2009\u202f]\d{3})+(?![\d/⁄∕])/g, (group) =>
      group.replace(/[\u2009\u202f]/g, ''),
    )
    .replace(/\s+/g, ' ')
    .replace(/[\u2212\u2010-\u2013\ufe63\uff0d]/g, '-')
    .replace(/[⁄∕]/g, '/')
    .replace(/[′’]/g, "'")
    .replace(/[″”“]|''/g, '"')
    .replace(/[º˚]/g, '°');
};

interface NumberRead {
  readonly amount: Fraction;
  /** Where the text goes on after the number. */
  readonly end: number;
}

/** At most 40 characters of what was typed, for a message. */
export const quoted = (text: string): string => `"${text.length > 40 ? `${text.slice(0, 40)}…` : text}"`;

export const unreadableNumber = (
  text: string,
  why: string,
  todo = 'write one number and one unit, as in 12.5 mm or 1-3/8 in',
): Fault => usage('quantity-unreadable', `${quoted(text)} cannot be read: ${why}`, todo);

const mixed = /([+-]?)(\d+)(?: +|-)(\d+)\/(\d+)/y;
const simple = /([+-]?)(\d+)\/(\d+)/y;
const symbol = /([+-]?)(?:(\d+)[ -]?)?([¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])/y;
const decimal = /([+-]?)([\d.,]+)/y;

const matchAt = (pattern: RegExp, text: string, from: number): RegExpExecArray | null => {
  pattern.lastIndex = from;
  return pattern.exec(text);
};

const signed = (sign: string | undefined, n: bigint, d: bigint): Fraction => new Fraction(sign === '-' ? -n : n, d);

const fractionOf = (text: string, sign: string | undefined, whole: string, n: string, d: string): Outcome<Fraction> => {
  const [over, under] = [BigInt(n), BigInt(d)];
  if (under === 0n) return err(unreadableNumber(text, 'a fraction over zero is no number'));
  if (whole !== '' && over >= under)
    return err(
      unreadableNumber(
        text,
        `${n}/${d} is a whole inch or more, so ${whole} and ${n}/${d} cannot both be meant`,
        'write the fraction smaller than one, as in 1-3/8',
      ),
    );
  return ok(signed(sign, BigInt(whole === '' ? '0' : whole) * under + over, under));
};

const decimalOf = (text: string, sign: string | undefined, body: string): Outcome<Fraction> => {
  if (/^\d+$/.test(body)) return ok(signed(sign, BigInt(body), 1n));
  const parts = /^(\d*)([.,])(\d+)$/.exec(body);
  if (parts === null)
    return err(
      unreadableNumber(
        text,
        `${body} is not one number`,
        'write the number without thousands separators, with one point or comma',
      ),
    );
  const [, whole = '', mark, decimals = ''] = parts;
  if (mark === ',' && decimals.length === 3) {
    const [point, none] = [`${whole === '' ? '0' : whole}.${decimals}`, `${BigInt(whole + decimals)}`];
    return err(
      usage('quantity-ambiguous', `${quoted(text)} may mean ${point} or ${none}`, `write ${point} or ${none}`),
    );
  }
  return ok(signed(sign, BigInt(whole + decimals), 10n ** BigInt(decimals.length)));
};

const glyphParts = (glyph: string): [string, string] => {
  const [n, d] = vulgar[glyph] ?? [0n, 0n];
  return [n.toString(), d.toString()];
};

const ends = (text: string, end: number): boolean => !/^(?:[.,/]?\d|[¼½¾⅐-⅞])/.test(text.slice(end, end + 2));

/** A number as people write it: `12.5`, `0,5`, `1/2`, `1-3/4`, `1 3/4`, `1½`. The text must have gone through `plainText`. */
export const readNumber = (text: string, from: number): Outcome<NumberRead> => {
  const fraction = matchAt(mixed, text, from) ?? matchAt(simple, text, from);
  const glyph = fraction === null ? matchAt(symbol, text, from) : null;
  const plain = fraction === null && glyph === null ? matchAt(decimal, text, from) : null;
  const found = fraction ?? glyph ?? plain;
  if (found === null) return err(unreadableNumber(text, 'it does not begin with a number'));
  const end = from + found[0].length;
  if (found[0].replace(/\D/g, '').length > mostDigits)
    return err(unreadableNumber(text, `more than ${mostDigits} digits`));
  if (!ends(text, end)) return err(unreadableNumber(text, 'two numbers run into each other'));
  const amount =
    fraction !== null
      ? fractionOf(
          text,
          found[1],
          fraction.length === 5 ? (found[2] ?? '') : '',
          found.at(-2) ?? '',
          found.at(-1) ?? '',
        )
      : glyph !== null
        ? fractionOf(text, found[1], found[2] ?? '', ...glyphParts(found[3] ?? ''))
        : decimalOf(text, found[1], found[2] ?? '');
  return amount.ok ? ok({ amount: amount.value, end }) : amount;
};
