import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { convert, makeQuantity, plus, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, outOfRange, wrongInput, type Calculation } from './calculation.ts';
import { threadOf } from './thread.ts';

/** Low, high and the greatest allowed for a tension nut, then for a shear nut, in in·lb. */
type Row = readonly [number, number, number, number, number, number];

/** AC 43.13-1B (with change 1), table 7-1: oil-free cadmium-plated steel threads, in in·lb. 7/16-20 jumps in the source itself. */
const table: Readonly<Record<string, Row>> = {
  '8-36': [12, 15, 20, 7, 9, 12],
  '10-32': [20, 25, 40, 12, 15, 25],
  '1/4-28': [50, 70, 100, 30, 40, 60],
  '5/16-24': [100, 140, 225, 60, 85, 140],
  '3/8-24': [160, 190, 390, 95, 110, 240],
  '7/16-20': [450, 500, 840, 270, 300, 500],
  '1/2-20': [480, 690, 1100, 290, 410, 660],
  '9/16-18': [800, 1000, 1600, 480, 600, 960],
  '5/8-18': [1100, 1300, 2400, 600, 780, 1400],
  '10-24': [20, 25, 35, 12, 15, 21],
  '1/4-20': [40, 50, 75, 25, 30, 45],
  '5/16-18': [80, 90, 160, 48, 55, 100],
  '3/8-16': [160, 185, 275, 95, 100, 170],
};

const boltThreads: readonly string[] = Object.keys(table);

export const boltTorque: Calculation = {
  name: 'bolt-torque',
  title: 'Torque range for a steel bolt by its thread',
  inputs: [
    { name: 'thread', dimension: 'text', required: true, about: `the thread: ${boltThreads.join(', ')}` },
    { name: 'nut', dimension: 'text', required: true, about: 'tension or shear', choices: ['tension', 'shear'] },
    { name: 'drag', dimension: 'torque', required: false, about: 'torque that turns the nut before it seats' },
  ],
  source: 'AC 43.13-1B table 7-1; drag is added to the value, 7-40 d',
  range: 'the threads of the table; clean, dry, cadmium-plated steel; no lubricant',
  caution:
    'Only where the maker of the part gives no torque. A castle nut begins at the low end with the drag added and never passes the high end with it (7-40 f): if the hole does not line up, change washers or nut. The jump from 3/8-24 to 7/16-20 is in the table itself.',
  example: { thread: '3/8-24', nut: 'tension', drag: '12 in·lb' },
  compute: (given) => {
    const thread = threadOf(given.text('thread'));
    const row = Object.hasOwn(table, thread) ? table[thread] : undefined;
    if (row === undefined && !/^M?\d[\d/ .]*(?:[-x×]\d|$)/i.test(thread))
      return err(wrongInput('thread', `${thread.slice(0, 40)} is no thread`, `write one of ${boltThreads.join(', ')}`));
    if (row === undefined)
      return err(
        outOfRange(
          `the table has no thread ${thread.slice(0, 40)}`,
          `take the maker’s value; the table has ${boltThreads.join(', ')}`,
        ),
      );
    const [low = 0, high = 0, most = 0] = given.text('nut') === 'tension' ? row.slice(0, 3) : row.slice(3);
    const unit = unitNamed('in·lb', 'torque');
    const drag = given.maybe('drag');
    if (drag !== undefined && drag.amount.s < 0n)
      return err(outOfRange('the drag is negative', 'enter the drag as the wrench showed it'));
    const withDrag = (value: number): Quantity => {
      const q = makeQuantity(new Fraction(value), unit);
      return drag === undefined ? q : plus(q, drag);
    };
    const [from, to] = [withDrag(low), withDrag(high)];
    const plain = `table 7-1, ${thread}, ${given.text('nut')} nut: ${low} to ${high} in·lb`;
    const added =
      drag === undefined
        ? ''
        : `; + drag ${printQuantity(convert(drag, unit))} = ${printQuantity(from)} to ${printQuantity(to)}`;
    return ok({
      results: [
        exactly('low', from.amount, unit),
        exactly('high', to.amount, unit),
        exactly('table-greatest', new Fraction(most), unit),
      ],
      working: `${plain}${added}; greatest allowed by the table, without drag: ${most} in·lb`,
    });
  },
};
