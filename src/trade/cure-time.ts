import { err, ok } from '../fault/fault.ts';
import { compareQuantities, convert, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { toNumber } from '../quantity/rational.ts';
import { activation, orderedPoints, plainPoint, readCurePoint, timeAt, type CurePoint } from './arrhenius.ts';
import { base, computed, outOfRange, type Calculation } from './calculation.ts';
import type { Plot, PlotPoint } from './plot.ts';

const gasConstant = 8.314462618; // J/(mol·K), CODATA 2018

const samples = 60;

/** Time against temperature, between the two points of the data sheet, in the units of the first that was typed. */
const plotOf = (
  [colder, hotter]: readonly [CurePoint, CurePoint],
  at: Quantity,
  hours: number,
  typed: CurePoint,
  q: number,
): Plot => {
  const [time, degrees] = [typed.time.unit, typed.at.unit];
  const place = (point: CurePoint): PlotPoint => ({
    x: toNumber(convert(point.at, degrees).amount),
    y: toNumber(convert(point.time, time).amount),
  });
  const [start, end] = [place(colder), place(hotter)];
  const [low, high] = [base(colder.at), base(hotter.at)];
  const line = Array.from({ length: samples + 1 }, (_, index): PlotPoint => {
    const share = index / samples;
    return { x: start.x + (end.x - start.x) * share, y: timeAt(start.y, low, low + (high - low) * share, q) };
  });
  return {
    x: { name: 'temperature', unit: degrees.name, from: start.x, to: end.x },
    y: { name: 'time', unit: time.name, from: 0, to: start.y },
    line,
    points: [start, end],
    here: { x: toNumber(convert(at, degrees).amount), y: hours },
  };
};

export const cureTime: Calculation = {
  name: 'cure-time',
  title: 'Cure time between two points of the data sheet',
  inputs: [
    { name: 'at', dimension: 'temperature', required: true, about: 'temperature of the glue line' },
    { name: 'point1', dimension: 'text', required: true, about: 'one point of the data sheet, as in 24 h at 70 °F' },
    { name: 'point2', dimension: 'text', required: true, about: 'another, as in 8 h at 120 °F' },
  ],
  source:
    't = t1 × exp(Q (1/T − 1/T1)), Q = ln(t1/t2) / (1/T1 − 1/T2): the equivalent-age form of ASTM C1074, restated publicly; made for concrete',
  range: 'between the two temperatures; refused outside, where a published table shows the curve 59 % wrong',
  caution:
    'A model, for planning. The data sheet’s own points rule; below its least temperature nothing cures, whatever a formula says.',
  example: { at: '104 °F', point1: '24 h at 70 °F', point2: '8 h at 120 °F' },
  compute: (given) => {
    const one = readCurePoint(given.text('point1'), 'point1');
    if (!one.ok) return one;
    const two = readCurePoint(given.text('point2'), 'point2');
    if (!two.ok) return two;
    const points = orderedPoints(one.value, two.value);
    if (!points.ok) return points;
    const [colder, hotter] = points.value;
    const at = given.quantity('at');
    if (compareQuantities(at, colder.at) < 0 || compareQuantities(at, hotter.at) > 0)
      return err(
        outOfRange(
          `${printQuantity(at)} lies outside ${printQuantity(colder.at)} to ${printQuantity(hotter.at)}`,
          'take a point of the data sheet nearer to it; the curve is not to be trusted beyond its points',
        ),
      );
    const q = activation(plainPoint(colder), plainPoint(hotter));
    const { unit } = one.value.time;
    const hours = timeAt(toNumber(convert(colder.time, unit).amount), base(colder.at), base(at), q);
    const time = computed('time', hours, unit);
    return ok({
      results: [time],
      working: `Q = ${q.toFixed(1)} K (${((q * gasConstant) / 1000).toFixed(1)} kJ/mol) through ${printQuantity(colder.time)} at ${printQuantity(colder.at)} and ${printQuantity(hotter.time)} at ${printQuantity(hotter.at)}; at ${printQuantity(at)}: ${printQuantity(time.quantity)}`,
      typed: [one.value.time],
      plot: plotOf(points.value, at, hours, one.value, q),
    });
  },
};
