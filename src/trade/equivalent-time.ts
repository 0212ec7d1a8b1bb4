import { err, ok, type Outcome } from '../fault/fault.ts';
import { compareQuantities, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { activation, orderedPoints, plainPoint, readCurePoint, type CurePoint } from './arrhenius.ts';
import { base, computed, outOfRange, wrongInput, type Calculation, type CalculationInputs } from './calculation.ts';
import { readHistory } from './history.ts';

interface Law {
  /** Kelvin. */
  readonly q: number;
  /** The two points, colder first, where the law was fitted to them. */
  readonly points?: readonly [CurePoint, CurePoint];
}

const readLaw = (given: CalculationInputs): Outcome<Law> => {
  const [one, two, stated] = [given.maybeText('point1'), given.maybeText('point2'), given.maybe('activation')];
  if (stated !== undefined) {
    if (one !== undefined || two !== undefined)
      return err(wrongInput('activation', 'it is given twice', 'give activation, or point1 and point2'));
    const q = base(stated);
    return q > 0 && stated.unit.name === 'K'
      ? ok({ q })
      : err(wrongInput('activation', 'Q = Ea/R is in kelvin, above zero', 'write it as in 5000 K'));
  }
  if (one === undefined || two === undefined)
    return err(
      wrongInput('point1', 'how fast it cures is not given', 'give point1 and point2 of the data sheet, or activation'),
    );
  const first = readCurePoint(one, 'point1');
  if (!first.ok) return first;
  const second = readCurePoint(two, 'point2');
  if (!second.ok) return second;
  const points = orderedPoints(first.value, second.value);
  return points.ok
    ? ok({ q: activation(plainPoint(points.value[0]), plainPoint(points.value[1])), points: points.value })
    : points;
};

const outside = (law: Law, temperatures: readonly Quantity[]): Quantity | undefined =>
  temperatures.find(
    (at) =>
      law.points !== undefined &&
      (compareQuantities(at, law.points[0].at) < 0 || compareQuantities(at, law.points[1].at) > 0),
  );

export const equivalentTime: Calculation = {
  name: 'equivalent-time',
  title: 'A temperature history as time at one temperature',
  inputs: [
    { name: 'history', dimension: 'text', required: true, list: true, about: 'as in 4 h at 90 °F; 10 h at 60 °F' },
    { name: 'reference', dimension: 'temperature', required: true, about: 'temperature at which the time is told' },
    { name: 'point1', dimension: 'text', required: false, about: 'one point of the data sheet, as in 24 h at 70 °F' },
    { name: 'point2', dimension: 'text', required: false, about: 'another, as in 8 h at 120 °F' },
    {
      name: 'activation',
      dimension: 'temperature',
      required: false,
      about: 'Q = Ea/R in kelvin, in place of the points',
    },
  ],
  source: 'te = Σ exp(−Q (1/T − 1/Ts)) Δt, kelvin: ASTM C1074, restated publicly; made for concrete',
  range: 'with points: between their temperatures, refused outside; with Q alone: wherever its source says',
  caution:
    'A model, for planning; a cure is decided by the procedure’s own stages. Below the sheet’s least temperature nothing counts, whatever the formula gives.',
  example: { history: '12 h at 10 °C; 6 h at 15 °C; 6 h at 25 °C', reference: '20 °C', activation: '5000 K' },
  compute: (given) => {
    const history = readHistory(given.text('history'));
    if (!history.ok) return history;
    const law = readLaw(given);
    if (!law.ok) return law;
    const reference = given.quantity('reference');
    if (base(reference) <= 0)
      return err(outOfRange('the reference lies at or below absolute zero', 'check the temperature and its unit'));
    const odd = outside(law.value, [reference, ...history.value.map((spell) => spell.at)]);
    if (odd !== undefined)
      return err(
        outOfRange(`${printQuantity(odd)} lies outside the two points`, 'count that spell by the data sheet itself'),
      );
    const terms = history.value.map((spell) => ({
      spell,
      factor: Math.exp(-law.value.q * (1 / base(spell.at) - 1 / base(reference))),
    }));
    const hours = unitNamed('h');
    const sum = terms.reduce((so, { spell, factor }) => so + (base(spell.time) / 3600) * factor, 0);
    if (!Number.isFinite(sum))
      return err(outOfRange('the factors are beyond reckoning', 'check Q and the temperatures'));
    const time = computed('time', sum, hours);
    return ok({
      results: [time],
      working: `Q = ${law.value.q.toFixed(1)} K; ${terms.map(({ spell, factor }) => `${printQuantity(spell.time)} × ${factor.toPrecision(5)}`).join(' + ')} = ${printQuantity(time.quantity)} at ${printQuantity(reference)}`,
      typed: history.value.slice(0, 1).map((spell) => spell.time),
    });
  },
};
