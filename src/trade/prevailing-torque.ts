import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, outOfRange, wrongInput, type Calculation } from './calculation.ts';
import { threadOf } from './thread.ts';

/** AC 43.13-1B (with change 1), table 7-2, fine threads: bolt size in inches, least prevailing torque in in·lb. */
const table: Readonly<Record<string, number>> = {
  '7/16': 8,
  '1/2': 10,
  '9/16': 13,
  '5/8': 18,
  '3/4': 27,
  '7/8': 40,
  '1': 55,
};

const sizes = Object.keys(table);

const asSize = (thread: string): string => thread.replace(/(?<=\d)-\d{1,2}$/, '');

export const prevailingTorque: Calculation = {
  name: 'prevailing-torque',
  title: 'Least drag of a self-locking nut that is used again',
  inputs: [
    {
      name: 'thread',
      dimension: 'text',
      required: true,
      about: `size or fine thread of the bolt: ${sizes.join(', ')}`,
    },
  ],
  source: 'AC 43.13-1B table 7-2',
  range: 'fine threads of the table, 7/16 to 1 in',
  caution:
    'The drag is what turns the nut before it seats. A smaller nut that can be turned on by hand is thrown away (7-64, from memory). Many kits allow no nut to be used twice: theirs wins.',
  example: { thread: '1/2-20' },
  compute: (given) => {
    const thread = threadOf(given.text('thread'));
    const size = asSize(thread);
    const least = Object.hasOwn(table, size) ? table[size] : undefined;
    if (least !== undefined) {
      const unit = unitNamed('in·lb', 'torque');
      return ok({
        results: [exactly('least', new Fraction(least), unit)],
        working: `table 7-2, ${size} in: at least ${least} in·lb before it seats`,
      });
    }
    const todo = `the table has ${sizes.join(', ')}; a smaller nut that can be turned on by hand is thrown away`;
    return err(
      /^\d/.test(thread)
        ? outOfRange(`the table has no ${thread.slice(0, 40)}`, todo)
        : wrongInput('thread', `${thread.slice(0, 40)} is no thread`, `write one of ${sizes.join(', ')}`),
    );
  },
};
