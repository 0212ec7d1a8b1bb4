/**
 * The ways in which manuals print limits, taken apart into the one or two ends that they name. Nothing here reads a number.
 */
export type End = 'low' | 'high';

export interface NamedEnd {
  readonly side: End;
  readonly included: boolean;
  /** The quantity or id, as written. */
  readonly text: string;
}

/** What stands before the value. The first that fits is taken, so a longer one comes before the shorter one it begins with. */
const before: readonly (readonly [words: string, side: End, included: boolean])[] = [
  [
    'at most|no more than|not more than|not over|not to exceed|not exceeding|up to|maximum of|maximum|max[.:]?',
    'high',
    true,
  ],
  ['at least|no less than|not less than|not under|not below|minimum of|minimum|min[.:]?', 'low', true],
  ['more than|greater than|over|above|exceeding', 'low', false],
  ['less than|under|below', 'high', false],
];

/** What stands after the value. */
const after: readonly (readonly [words: string, side: End, included: boolean])[] = [
  ['max\\.?|maximum|or less|or under|or below|or smaller', 'high', true],
  ['min\\.?|minimum|or more|or over|or above|or greater', 'low', true],
];

const signs: Readonly<Record<string, readonly [side: End, included: boolean]>> = {
  '≤': ['high', true],
  '<=': ['high', true],
  '=<': ['high', true],
  '≥': ['low', true],
  '>=': ['low', true],
  '=>': ['low', true],
  '<': ['high', false],
  '>': ['low', false],
};

const beforePatterns = before.map(([words, side, included]) => ({
  pattern: new RegExp(`^(?:${words}) ?:? +(.+)$`, 'i'),
  side,
  included,
}));

const afterPatterns = after.map(([words, side, included]) => ({
  pattern: new RegExp(`^(.+?),? +\\(?(?:${words})\\)?$`, 'i'),
  side,
  included,
}));

/** One end: `at most 0.2 mm`, `≤ 0.2 mm`, `0.2 mm max.`; undefined where the text names none. */
export const readNamedEnd = (text: string): NamedEnd | undefined => {
  const sign = /^(<=|>=|=<|=>|≤|≥|<|>) ?(.+)$/.exec(text);
  const known = sign === null ? undefined : signs[sign[1] ?? ''];
  if (known !== undefined) return { side: known[0], included: known[1], text: sign?.[2] ?? '' };
  for (const { pattern, side, included } of beforePatterns) {
    const rest = pattern.exec(text)?.[1];
    if (rest !== undefined) return { side, included, text: rest };
  }
  for (const { pattern, side, included } of afterPatterns) {
    const rest = pattern.exec(text)?.[1];
    // `20 min` is a time: only behind a unit does `min` mean the least.
    if (rest !== undefined && !(side === 'low' && /[\d¼½¾⅐-⅞]$/.test(rest) && /\bmin\.?\)?$/i.test(text)))
      return { side, included, text: rest };
  }
  return undefined;
};

/** Two ends, one of each side, as two clauses: `more than 2 mm, at most 5 mm`; `2 mm min, 5 mm max`. */
export const readTwoEnds = (text: string): readonly [NamedEnd, NamedEnd] | undefined => {
  for (const joint of text.matchAll(/,? (?:and|but) |[,;] |(?: ?\/ ?)(?=\D*\d[^/]*max)/gi)) {
    const [one, other] = [
      readNamedEnd(text.slice(0, joint.index)),
      readNamedEnd(text.slice(joint.index + joint[0].length)),
    ];
    if (one !== undefined && other !== undefined && one.side !== other.side) return [one, other];
  }
  return undefined;
};

/**
 * A range in words, dots or with a stroke: `35 to 40 in·lb`, `between 35 and 40`, `35…40`; the two ends as written. A stroke between two
 * decimals cannot be a fraction's: `0.0025/0.0045 in`.
 */
const wordRange = (text: string): readonly [low: string, high: string] | undefined => {
  const found =
    /^between (.+?) and (.+)$/i.exec(text) ??
    /^(\d*\.\d+) ?\/ ?(\d*\.\d+[^/]*)$/.exec(text) ??
    /^(?:from )?(.+?)(?: to | thru | through | ?\.{2,3} ?| ?… ?)(.+)$/i.exec(text);
  return found === null ? undefined : [found[1] ?? '', found[2] ?? ''];
};

interface Sign {
  readonly at: number;
  readonly sign: '+' | '-';
  /** A space before it and none after, as a tolerance is printed: `12.5 -0.1`. */
  readonly asTolerance: boolean;
}

const isNumberStart = (text: string): boolean => /^ ?[\d.,¼½¾⅐-⅞]/.test(text);

/** The signs between numbers: not the first one, not the hyphen of `in-lb`, not that of the mixed number `1-3/4`. */
const signsOf = (text: string): readonly Sign[] => {
  const mixed = new Set(
    [...text.matchAll(/(?<![\d.,/])\d+-(?=\d+\/\d)/g)].map((found) => found.index + found[0].length - 1),
  );
  return [...text.matchAll(/[+-]/g)].flatMap(({ index, 0: sign }) =>
    index === 0 || mixed.has(index) || !isNumberStart(text.slice(index + 1))
      ? []
      : [
          {
            at: index,
            sign: sign === '+' ? '+' : '-',
            asTolerance: text[index - 1] === ' ' && text[index + 1] !== ' ',
          } as const,
        ],
  );
};

export type LimitForm =
  | { readonly form: 'range'; readonly low: string; readonly high: string }
  /** The tolerances with their signs; the second is absent where one side alone was written. */
  | { readonly form: 'tolerances'; readonly base: string; readonly ends: readonly (readonly ['+' | '-', string])[] }
  /** `35 -40` may be a range or a tolerance. */
  | { readonly form: 'unclear'; readonly low: string; readonly high: string };

const tidy = (text: string): string => text.replace(/^[ ,;/]+|[ ,;/]+$/g, '');

/** What an entry in two numbers or with a tolerance is made of; undefined where the text has neither. */
export const readLimitForm = (text: string): LimitForm | undefined => {
  const range = wordRange(text);
  if (range !== undefined) return { form: 'range', low: range[0], high: range[1] };
  const open = text.replace(/ ?\( ?([+±-][^()]*)\)/g, ' $1');
  const even = /^([^±]*[^±+ ]) ?(?:±|\+ ?\/? ?-|plus or minus|plus\/minus) ?(?=[\d.,¼½¾⅐-⅞])([^±]+)$/i.exec(open);
  if (even !== null) {
    const [base, tolerance] = [even[1] ?? '', even[2] ?? ''];
    return {
      form: 'tolerances',
      base,
      ends: [
        ['+', tolerance],
        ['-', tolerance],
      ],
    };
  }
  const signs = signsOf(open);
  const [first, second, third] = signs;
  if (first === undefined || third !== undefined) return undefined;
  const [base, one] = [tidy(open.slice(0, first.at)), tidy(open.slice(first.at + 1, second?.at))];
  if (second !== undefined)
    return first.sign === '-' && second.sign === '-' && !(first.asTolerance && second.asTolerance)
      ? undefined
      : {
          form: 'tolerances',
          base,
          ends: [
            [first.sign, one],
            [second.sign, tidy(open.slice(second.at + 1))],
          ],
        };
  if (first.sign === '+') return { form: 'tolerances', base, ends: [['+', one]] };
  return { form: first.asTolerance ? 'unclear' : 'range', low: base, high: one };
};

/** What is printed as a limit and is none, with what to write instead. */
const notLimits: readonly (readonly [pattern: RegExp, why: string, todo: string])[] = [
  [
    /^(?:±|\+ ?\/ ?-)/,
    'the value that the tolerance belongs to is missing',
    'write it first, as in 12.5 ± 0.1 mm; 0 ± 0.1 mm about nothing',
  ],
  [
    /^(?:approx|approximately|about|circa|ca|nominal|nom|ref|typically|typ)\b|^[~≈]|\b(?:approx|nominal|nom|ref|typ)\.?$/i,
    'it is said about what the value is, not within what',
    'write both ends, as in 12 to 13 mm, or 12.5 ± 0.5 mm',
  ],
  [/^(?:none|nil|zero|no \w+|nothing)$/i, 'they have no number', 'write exactly 0, or at most 0 with the unit'],
  [
    /\d ?(?:[A-Z]{1,2}\d{1,2}|[a-z]{1,2}\d{1,2})$/,
    'a fit is a name, and its limits depend on the size',
    'write the two limits of that fit in numbers, as in 12.000 to 12.018 mm',
  ],
  [
    /^(?!\d*\.\d+ ?\/ ?\d*\.\d)[+-]?[\d.,]+ ?\/ ?[\d.,]+ ?\D*$/,
    'the stroke may divide two limits or a fraction',
    'write to between two limits, as in 12.4 to 12.6 mm',
  ],
  [/^.+[<>≤≥].+$/, 'a chain of signs is not read', 'write each end, as in more than 2 mm, at most 5 mm'],
  [
    /^(?:see|as|per|refer|according)\b/i,
    'they are a reference',
    'write the number that is meant, and the reference as source',
  ],
];

export const whyNotLimits = (text: string): readonly [why: string, todo: string] | undefined => {
  const found = notLimits.find(([pattern]) => pattern.test(text));
  return found === undefined ? undefined : [found[1], found[2]];
};
