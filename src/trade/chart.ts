import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import {
  compareQuantities,
  convert,
  makeQuantity,
  parseQuantity,
  printQuantity,
  type Quantity,
} from '../quantity/quantity.ts';
import { exactly, outOfRange, type Calculation } from './calculation.ts';

interface ChartPoint {
  readonly x: Quantity;
  readonly y: Quantity;
}

/** The value between two points of a chart, on a straight line, exact; refused outside the points. */
const chartAt = (points: readonly ChartPoint[], at: Quantity): Outcome<Quantity> => {
  const [first, last] = [points[0], points.at(-1)];
  if (first === undefined || last === undefined) throw new RangeError('a chart without points');
  if (compareQuantities(at, first.x) < 0 || compareQuantities(at, last.x) > 0)
    return err(
      outOfRange(
        `${printQuantity(at)} lies outside the chart, which runs from ${printQuantity(first.x)} to ${printQuantity(last.x)}`,
        'work where the chart holds, or ask who made it',
      ),
    );
  const index = Math.max(
    1,
    points.findIndex((point) => compareQuantities(point.x, at) >= 0),
  );
  const [from, to] = [points[index - 1] ?? first, points[index] ?? first];
  const x = (q: Quantity): Quantity['amount'] => convert(q, at.unit).amount;
  const share =
    index >= points.length
      ? 0
      : x(at)
          .sub(x(from.x))
          .div(x(to.x).sub(x(from.x)));
  const rise = convert(to.y, from.y.unit).amount.sub(from.y.amount);
  return ok(makeQuantity(from.y.amount.add(rise.mul(share)), from.y.unit));
};

const unreadable = (what: string): ReturnType<typeof usage> =>
  usage('input-wrong', what, 'write pairs with rising first values, as in 0 °C, 140 N, 10 °C, 160 N', 'chart');

/** `0 °C, 140 N, 10 °C, 160 N`: pairs, the first of each pair rising. */
const readChart = (values: readonly Quantity[]): Outcome<readonly ChartPoint[]> => {
  if (values.length < 4 || values.length % 2 !== 0)
    return err(unreadable('a chart needs pairs of values, at least two'));
  const points: ChartPoint[] = [];
  for (let index = 0; index + 1 < values.length; index += 2) {
    const [x, y] = [values[index], values[index + 1]];
    if (x === undefined || y === undefined) continue;
    const before = points.at(-1);
    if (
      before !== undefined &&
      (before.x.unit.dimension !== x.unit.dimension || before.y.unit.dimension !== y.unit.dimension)
    )
      return err(unreadable('the points of the chart are not all of one kind'));
    if (before !== undefined && compareQuantities(before.x, x) >= 0)
      return err(unreadable(`the chart does not rise at ${printQuantity(x)}`));
    points.push({ x, y });
  }
  return ok(points);
};

const readPoints = (text: string): Outcome<readonly ChartPoint[]> => {
  const values: Quantity[] = [];
  for (const part of text.split(/;|,\s/)) {
    const read = parseQuantity(part.trim());
    if (!read.ok) return read;
    values.push(read.value);
  }
  return readChart(values);
};

export const chart: Calculation = {
  name: 'chart',
  title: 'Value read off a chart, on straight lines between its points',
  gives: 'any',
  inputs: [
    { name: 'at', dimension: 'any', required: true, about: 'where the chart is read' },
    {
      name: 'chart',
      dimension: 'text',
      required: true,
      list: true,
      about: 'the points, as in 0 °C, 140 N, 10 °C, 160 N',
    },
  ],
  source: 'linear interpolation; the points are the procedure’s own',
  range: 'from the first point to the last; refused outside',
  caution:
    'A chart holds for what its maker drew it for: the cable, the instrument, the airframe. Straight lines are an assumption between the points.',
  example: { at: '14 °C', chart: '0 °C, 140 N, 10 °C, 160 N, 20 °C, 180 N, 30 °C, 205 N' },
  compute: (given) => {
    const points = readPoints(given.text('chart'));
    if (!points.ok) return points;
    const at = given.quantity('at');
    if (at.unit.dimension !== points.value[0]?.x.unit.dimension)
      return err(unreadable(`${printQuantity(at)} is not of the chart’s kind`));
    const value = chartAt(points.value, at);
    if (!value.ok) return value;
    return ok({
      results: [exactly('value', value.value.amount, value.value.unit)],
      working: `at ${printQuantity(at)} on straight lines between the points: ${printQuantity(value.value)}`,
    });
  },
};
