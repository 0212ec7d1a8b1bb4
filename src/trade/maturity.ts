import { err, ok } from '../fault/fault.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { toNumber } from '../quantity/rational.ts';
import { unitNamed } from '../quantity/units.ts';
import { base, computed, outOfRange, type Calculation } from './calculation.ts';
import { readHistory } from './history.ts';

export const maturity: Calculation = {
  name: 'maturity',
  title: 'A temperature history as degree-hours',
  inputs: [
    { name: 'history', dimension: 'text', required: true, list: true, about: 'as in 12 h at 10 °C; 6 h at 15 °C' },
    { name: 'datum', dimension: 'temperature', required: true, about: 'temperature at and below which nothing counts' },
    {
      name: 'reference',
      dimension: 'temperature',
      required: false,
      about: 'temperature at which the equivalent time is told',
    },
  ],
  source: 'M = Σ (T − T0) Δt, terms below T0 nothing (Nurse-Saul): ASTM C1074, restated publicly; made for concrete',
  range: 'any history; the datum is a property of what cures',
  caution: 'A model, for planning; it says nothing of an adhesive unless its maker says so.',
  example: { history: '12 h at 10 °C; 6 h at 15 °C; 6 h at 25 °C', datum: '-10 °C', reference: '20 °C' },
  compute: (given) => {
    const history = readHistory(given.text('history'));
    if (!history.ok) return history;
    const [datum, reference] = [given.quantity('datum'), given.maybe('reference')];
    const terms = history.value.map((spell) => Math.max(0, base(spell.at) - base(datum)) * base(spell.time));
    const sum = terms.reduce((so, term) => so + term, 0);
    const unit = unitNamed(datum.unit.name === '°F' ? '°F·h' : '°C·h');
    const total = computed('maturity', sum / toNumber(unit.factor), unit);
    const above = reference === undefined ? undefined : base(reference) - base(datum);
    if (above !== undefined && above <= 0)
      return err(outOfRange('the reference is not above the datum', 'give a warmer reference'));
    const equivalent = above === undefined ? [] : [computed('time', sum / above / 3600, unitNamed('h'))];
    return ok({
      results: [total, ...equivalent],
      working: `above ${printQuantity(datum)}: ${history.value.map((spell) => `${printQuantity(spell.time)} at ${printQuantity(spell.at)}`).join(' + ')} = ${printQuantity(total.quantity)}`,
    });
  },
};
