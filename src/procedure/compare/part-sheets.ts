import Fraction from 'fraction.js';
import type { Limits } from '../../quantity/limits.ts';
import { makeQuantity, type Quantity } from '../../quantity/quantity.ts';
import type { Cure, Hold, LoosePart, Mix, PotLifePoint, Reading, Result, ResultInput, Tighten } from '../model.ts';
import { countUnit } from '../schema/leaves.ts';
import {
  type Amount,
  amountsLeaf,
  groupField,
  type Group,
  type Leaf,
  limitsLeaf,
  listItems,
  names,
  plain,
  quantityLeaf,
  textItems,
  time,
  timeLeaf,
  words,
} from './sheet.ts';

const atMost = (quantity: Quantity): Limits => ({ text: quantity.text, high: { base: quantity, included: true } });
const atLeast = (quantity: Quantity): Limits => ({ text: quantity.text, low: { base: quantity, included: true } });

/** Fewer tries are tighter. */
const triesLeaf = (tries: number | undefined): Leaf | undefined =>
  tries === undefined
    ? undefined
    : limitsLeaf(atMost(makeQuantity(new Fraction(tries), countUnit)), `at most ${tries}`);

const kindFields = (reading: Reading): Group['fields'] => {
  switch (reading.kind) {
    case 'quantity':
      return {
        unit: { is: 'leaf', text: reading.unit.name, value: { as: 'unit', unit: reading.unit } },
        limits: limitsLeaf(reading.limits),
        decide: plain(reading.guarded ? 'guarded' : 'plain'),
        twin: limitsLeaf(reading.twin),
      };
    case 'count':
      return { limits: limitsLeaf(reading.limits) };
    case 'choice':
      return { choices: names(reading.choices), accept: names(reading.accept) };
    case 'text':
      return {};
  }
};

export const readingSheet = (reading: Reading): Group =>
  groupField({
    ask: words(reading.ask),
    kind: plain(reading.kind),
    ...kindFields(reading),
    tool: plain(reading.tool),
    source: words(reading.source),
    positions: names(reading.positions),
    times: plain(reading.times),
    tries: triesLeaf(reading.tries),
    blind: plain(reading.blind),
  });

const inputLeaf = (input: ResultInput): Leaf => {
  if (input.kind === 'quantity') return amountsLeaf(input.quantity.text, [input.quantity]);
  return { is: 'leaf', text: input.kind === 'id' ? input.id : input.text, value: { as: 'plain' } };
};

export const resultSheet = (result: Result): Group =>
  groupField({
    calculation: plain(result.calculation),
    from: listItems(
      'ids',
      Object.entries(result.from).map(([id, input]) => ({ id, node: inputLeaf(input) })),
    ),
    limits: limitsLeaf(result.limits),
    source: words(result.source),
  });

const dragLeaf = (drag: Tighten['drag']): Leaf | undefined =>
  drag === undefined || drag === 'measured' ? plain(drag) : inputLeaf(drag);

export const tightenSheet = (tighten: Tighten): Group =>
  groupField({
    fasteners: plain(tighten.fasteners),
    order: plain(tighten.order.join(', ')),
    torque: limitsLeaf(tighten.torque),
    drag: dragLeaf(tighten.drag),
    adapter: quantityLeaf(tighten.adapter),
    wrench: quantityLeaf(tighten.wrench),
    'finger-tight': limitsLeaf(tighten.fingerTight),
    past: limitsLeaf(tighten.past),
    tries: triesLeaf(tighten.tries),
    never: words(tighten.never),
    tool: plain(tighten.tool),
    mark: plain(tighten.mark),
    source: words(tighten.source),
  });

const pointText = ({ time: taken, at }: PotLifePoint): string =>
  at === undefined ? taken.text : `${taken.text} at ${at.text}`;

const pointsLeaf = (points: readonly PotLifePoint[]): Leaf =>
  amountsLeaf(
    points.map(pointText).join(', '),
    points.flatMap((point): readonly Amount[] => [time(point.time), ...(point.at === undefined ? [] : [point.at])]),
  );

export const mixSheet = (mix: Mix): Group =>
  groupField({
    material: plain(mix.material),
    ratio: listItems(
      'ids',
      mix.ratio.map(({ part, share }) => ({ id: part, node: { is: 'leaf', text: share, value: { as: 'plain' } } })),
    ),
    by: plain(mix.by),
    tolerance: limitsLeaf(atMost(mix.tolerance)),
    batch: limitsLeaf(mix.batch),
    'pot-life': mix.potLife.length === 0 ? undefined : pointsLeaf(mix.potLife),
    sample: plain(mix.sample),
    source: words(mix.source),
  });

export const cureSheet = (cure: Cure): Group =>
  groupField({
    of: names(cure.of),
    stages: listItems(
      'ids',
      cure.stages.map(({ stage, points }) => ({ id: stage, node: pointsLeaf(points) })),
    ),
    until: plain(cure.until),
    floor: limitsLeaf(atLeast(cure.floor)),
    'reading-every': timeLeaf(cure.readingEvery),
    between: plain(cure.between),
    source: words(cure.source),
  });

export const holdSheet = (hold: Hold): Group =>
  groupField({
    kind: plain(hold.kind),
    by: plain(hold.by),
    'look-for': textItems(hold.lookFor),
    remote: plain(hold.remote),
    of: plain(hold.of === undefined ? 'everything since the last hold point' : hold.of.join(', ')),
    self: timeLeaf(hold.self),
  });

export const looseSheet = (loose: LoosePart): Group =>
  groupField({
    count: plain(loose.count),
    left: words(loose.left),
    because: words(loose.because),
    before: plain(loose.before),
  });
