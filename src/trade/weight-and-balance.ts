import Fraction from 'fraction.js';
import { err, ok, type Outcome } from '../fault/fault.ts';
import { decide } from '../quantity/decision.ts';
import type { FixedLimits } from '../quantity/limits.ts';
import {
  compareQuantities,
  convert,
  makeQuantity,
  parseQuantity,
  printQuantity,
  type Quantity,
} from '../quantity/quantity.ts';
import { toNumber } from '../quantity/rational.ts';
import { findUnit, unitNamed, type Unit } from '../quantity/units.ts';
import { exactly, outOfRange, wrongInput, type Calculation, type CalculationInputs } from './calculation.ts';
import { percentOfChord } from './mac-percent.ts';
import { readLimits } from './plain-limits.ts';
import { spanOf, type Plot } from './plot.ts';

interface Item {
  readonly weight: Quantity;
  readonly arm: Quantity;
}

const readItem = (text: string): Outcome<Item> => {
  const parts = /^(.+?)\s+at\s+(.+)$/i.exec(text.trim());
  if (parts === null)
    return err(
      wrongInput(
        'items',
        `${text.slice(0, 40)} is no weight at an arm`,
        'write the items as in 1169 lb at 10.6 in; 17 lb at -49 in',
      ),
    );
  const weight = parseQuantity(parts[1] ?? '', { dimension: 'mass' });
  if (!weight.ok) return err({ ...weight.fault, where: 'items' });
  const arm = parseQuantity(parts[2] ?? '', { dimension: 'length' });
  return arm.ok ? ok({ weight: weight.value, arm: arm.value }) : err({ ...arm.fault, where: 'items' });
};

const fromText = (text: string): Outcome<readonly Item[]> => {
  const items: Item[] = [];
  for (const part of text.split(/;|,\s/)) {
    const item = readItem(part);
    if (!item.ok) return item;
    items.push(item.value);
  }
  return ok(items);
};

/** Pairs weights and arms by what follows the name: `weight1= arm1= weight2= arm2=`. */
const fromPairs = (given: CalculationInputs): Outcome<readonly Item[]> => {
  const [weights, arms] = [given.list('weight'), given.list('arm')];
  const items: Item[] = [];
  for (const [index, { key, quantity: weight }] of weights.entries()) {
    const named = arms.find((arm) => arm.key === key);
    const arm = key === '' ? arms[index] : named;
    if (arm === undefined || arms.length !== weights.length)
      return err(wrongInput(`arm${key}`, `weight${key} has no arm`, `give arm${key}: its distance from the datum`));
    items.push({ weight, arm: arm.quantity });
  }
  return ok(items);
};

const readItems = (given: CalculationInputs): Outcome<readonly Item[]> => {
  const text = given.maybeText('items');
  const pairs = given.list('weight');
  if ((text === undefined) === (pairs.length === 0))
    return err(
      wrongInput(
        'items',
        'the weights are not given once',
        'give items="1169 lb at 10.6 in; …", or weight1, arm1, weight2, arm2 …',
      ),
    );
  return text === undefined ? fromPairs(given) : fromText(text);
};

/** The unit of weight times arm as they were typed: lb and in give lb·in. */
const momentUnit = (item: Item): Unit =>
  findUnit(`${item.weight.unit.name}·${item.arm.unit.name}`, 'mass-moment') ?? unitNamed('kg·m', 'mass-moment');

const chordPercent = (given: CalculationInputs, centre: Quantity): Outcome<Fraction | undefined> => {
  const [lemac, mac] = [given.maybe('lemac'), given.maybe('mac')];
  if (lemac === undefined && mac === undefined) return ok(undefined);
  if (lemac === undefined || mac === undefined)
    return err(
      wrongInput(lemac === undefined ? 'lemac' : 'mac', 'lemac and mac belong together', 'give both, or neither'),
    );
  return percentOfChord(centre, lemac, mac);
};

/** What the designer allows, where that was given. */
interface Envelope {
  readonly limits?: FixedLimits;
  readonly most?: Quantity;
}

const envelopeOf = (given: CalculationInputs, arm: Unit): Outcome<Envelope> => {
  const [text, most] = [given.maybeText('limits'), given.maybe('max-weight')];
  const limits = text === undefined ? undefined : readLimits(text, arm);
  if (limits && !limits.ok) return limits;
  return ok({ ...(limits ? { limits: limits.value } : {}), ...(most ? { most } : {}) });
};

/** What lies outside the envelope, in words, for information: it decides no step. */
const outsideOf = ({ limits, most }: Envelope, centre: Quantity, weight: Quantity): readonly string[] => [
  ...(limits && decide(centre, limits) === 'outside'
    ? [`the centre ${printQuantity(centre)} lies outside ${limits.text}`]
    : []),
  ...(most && compareQuantities(weight, most) > 0
    ? [`the weight ${printQuantity(weight)} is above ${printQuantity(most)}`]
    : []),
];

const inUnit = (q: Quantity, unit: Unit): number => toNumber(convert(q, unit).amount);

/** Mass against arm: the items and their centre, or with limits the centre within them. */
const plotOf = (items: readonly Item[], { limits, most }: Envelope, centre: Quantity, weight: Quantity): Plot => {
  const [pounds, inches] = [weight.unit, centre.unit];
  const here = { x: inUnit(centre, inches), y: inUnit(weight, pounds) };
  const [low, high] = [limits?.low, limits?.high].map((end) => end && inUnit(end.at, inches));
  const ends = [low, high].filter((end) => end !== undefined);
  const points = items.map((item) => ({ x: inUnit(item.arm, inches), y: inUnit(item.weight, pounds) }));
  const shown = ends.length > 0 ? [] : points;
  const top = most && inUnit(most, pounds);
  return {
    x: { name: 'arm', unit: inches.name, ...spanOf([here.x, ...ends, ...shown.map(({ x }) => x)], 0.15) },
    y: {
      name: 'mass',
      unit: pounds.name,
      from: Math.min(0, ...shown.map(({ y }) => y)),
      to: Math.max(here.y, top ?? 0, ...shown.map(({ y }) => y)) * 1.3,
    },
    line: [],
    points: shown,
    here,
    ...(limits || most
      ? {
          limits: {
            ...(low === undefined ? {} : { low }),
            ...(high === undefined ? {} : { high }),
            ...(top === undefined ? {} : { top }),
          },
        }
      : {}),
  };
};

export const weightAndBalance: Calculation = {
  name: 'weight-and-balance',
  title: 'Weight, centre of gravity, and its place on the mean chord',
  inputs: [
    {
      name: 'items',
      dimension: 'text',
      required: false,
      list: true,
      about: 'each weight at its arm, as in 1169 lb at 10.6 in; 17 lb at -49 in',
    },
    {
      name: 'weight',
      dimension: 'mass',
      required: false,
      many: true,
      insteadOf: 'items',
      about: 'in place of items: weight1, weight2 …; what comes off is negative',
    },
    {
      name: 'arm',
      dimension: 'length',
      required: false,
      many: true,
      insteadOf: 'items',
      about: 'arm1, arm2 …, from the datum, negative ahead of it',
    },
    { name: 'lemac', dimension: 'length', required: false, about: 'leading edge of the mean chord, from the datum' },
    { name: 'mac', dimension: 'length', required: false, about: 'length of the mean chord' },
    {
      name: 'limits',
      dimension: 'text',
      required: false,
      about: 'where the designer wants the centre, as in 10.5 to 21.9 in',
    },
    { name: 'max-weight', dimension: 'mass', required: false, about: 'the designer’s greatest weight' },
  ],
  source: 'centre = Σ (weight × arm) / Σ weight: AC 43.13-1B chapter 10; %MAC = (centre − LEMAC) / MAC',
  range: 'any number of items, arms of either sign; the sum of weights above zero',
  caution:
    'Level the aircraft, subtract the tare, use scales in date. Limits are the designer’s; never round into them.',
  example: { items: '1169 lb at 10.6 in; 17 lb at -49 in; 170 lb at 16 in' },
  compute: (given) => {
    const items = readItems(given);
    if (!items.ok) return items;
    const [first] = items.value;
    if (first === undefined) return err(wrongInput('items', 'there are no items', 'give one or more'));
    const [pounds, inches] = [first.weight.unit, first.arm.unit];
    const zero = new Fraction(0);
    const weight = items.value.reduce((sum, item) => sum.add(convert(item.weight, pounds).amount), zero);
    if (weight.compare(0) <= 0)
      return err(outOfRange('the weights do not add up to more than nothing', 'check the items'));
    const moment = items.value.reduce(
      (sum, item) => sum.add(convert(item.weight, pounds).amount.mul(convert(item.arm, inches).amount)),
      zero,
    );
    const centre = makeQuantity(moment.div(weight), inches);
    const share = chordPercent(given, centre);
    if (!share.ok) return share;
    const envelope = envelopeOf(given, inches);
    if (!envelope.ok) return envelope;
    const unit = momentUnit(first);
    const scaled = moment.mul(pounds.factor).mul(inches.factor).div(unit.factor);
    const onChord = share.value === undefined ? [] : [exactly('mac-percent', share.value, unitNamed('%'))];
    const [total, product] = [makeQuantity(weight, pounds), makeQuantity(scaled, unit)];
    return ok({
      results: [
        exactly('centre', centre.amount, inches),
        exactly('weight', weight, pounds),
        exactly('moment', scaled, unit),
        ...onChord,
      ],
      working: `${printQuantity(product)} / ${printQuantity(total)} = ${printQuantity(centre)}${onChord.map(({ quantity }) => `, ${printQuantity(quantity)} MAC`).join('')}`,
      warnings: outsideOf(envelope.value, centre, total),
      typed: [first.weight, first.arm],
      plot: plotOf(items.value, envelope.value, centre, total),
    });
  },
};
