import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { printNumber } from '../quantity/rational.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, outOfRange, wrongInput, type Calculation } from './calculation.ts';

interface PipeThread {
  /** Threads to the inch. */
  readonly n: Fraction;
  /** Outside diameter of the pipe, in. */
  readonly d: Fraction;
  /** Normal hand-tight engagement, in. */
  readonly l1: Fraction;
}

const row = (n: string, d: string, l1: string): PipeThread => ({
  n: new Fraction(n),
  d: new Fraction(d),
  l1: new Fraction(l1),
});

/** ASME B1.20.1, as a public carrier of its table prints it: threads to the inch, outside diameter, L1. */
const table: Readonly<Record<string, PipeThread>> = {
  '1/8': row('27', '0.405', '0.1615'),
  '1/4': row('18', '0.540', '0.2278'),
  '3/8': row('18', '0.675', '0.240'),
  '1/2': row('14', '0.840', '0.320'),
  '3/4': row('14', '1.050', '0.339'),
  '1': row('11.5', '1.315', '0.400'),
};

const pipeSizes: readonly string[] = ['1/8', '1/4', '3/8', '1/2', '3/4', '1'];

const effective = (thread: PipeThread): Fraction => thread.d.mul('0.8').add('6.8'); // L2 in threads: 0.80 D + 6.8
const vanish = new Fraction('3.47'); // V in threads
const wrenchTurns = new Fraction(3); // L3, sizes to 2 in

const sizeOf = (text: string): string =>
  text
    .replace(/\s*(?:"|″|in\.?|inch)?\s*(?:NPTF?|-\s*[\d.]+)?\s*(?:NPTF?)?$/i, '')
    .replace(/^0?\.125$/, '1/8')
    .replace(/^0?\.25$/, '1/4')
    .replace(/^0?\.375$/, '3/8')
    .replace(/^0?\.50?$/, '1/2')
    .replace(/^0?\.75$/, '3/4')
    .trim();

const tolerance =
  'The standard allows one turn large or small on each part: hand-tight engagement may differ by as much as two turns from these figures.';

/** The cautions of a result: the standard's tolerance always; and where so, effective threads used up, or more turns than L3. */
const warningsFor = (effectiveLeft: Fraction, turnsLeft: Fraction): readonly string[] => [
  tolerance,
  ...(effectiveLeft.s < 0n ? ['The effective thread is used up: what engages now is the vanish threads.'] : []),
  ...(turnsLeft.s < 0n ? ['More than the standard’s 3 turns by wrench (L3): a boss can crack.'] : []),
];

export const pipeThread: Calculation = {
  name: 'pipe-thread',
  title: 'Tapered pipe thread: threads engaged, threads showing, turns left',
  inputs: [
    { name: 'size', dimension: 'text', required: true, about: `nominal size: ${pipeSizes.join(', ')}` },
    { name: 'turns', dimension: 'turns', required: true, bare: 'turns', about: 'turns past finger-tight' },
    {
      name: 'finger-tight',
      dimension: 'turns',
      required: false,
      bare: 'turns',
      about: 'turns to finger-tight as counted; else the standard’s L1',
    },
  ],
  source:
    'ASME B1.20.1: L1 from its table; L2 = (0.80 D + 6.8) p, V = 3.47 p, L4 = L2 + V, L3 = 3 p; L2 from memory, it gives the table’s own figures',
  range: 'NPT, nominal sizes 1/8 to 1; turns from zero to the end of the effective thread and the vanish threads',
  caution: `${tolerance} A count of threads showing is information, not a pass by itself. NPT needs sealant; the part’s own method wins; never back off to line up.`,
  example: { size: '1/4', turns: '2' },
  compute: (given) => {
    const size = sizeOf(given.text('size'));
    const thread = Object.hasOwn(table, size) ? table[size] : undefined;
    if (thread === undefined && !/^\d+(?:[-/ ]\d+)*$/.test(size))
      return err(wrongInput('size', `${size.slice(0, 40)} is no size of pipe`, `write one of ${pipeSizes.join(', ')}`));
    if (thread === undefined)
      return err(outOfRange(`there is no size ${size.slice(0, 40)} here`, `the sizes are ${pipeSizes.join(', ')}`));
    const [turns, counted] = [given.quantity('turns'), given.maybe('finger-tight')];
    if (turns.amount.s < 0n || (counted !== undefined && counted.amount.s < 0n))
      return err(outOfRange('the turns are negative', 'never back off; count the turns past finger-tight'));
    const hand = counted?.amount ?? thread.l1.mul(thread.n);
    const engaged = hand.add(turns.amount);
    const all = effective(thread).add(vanish);
    if (engaged.compare(all) > 0)
      return err(
        outOfRange(
          `${printNumber(engaged)} threads engaged are more than the ${printNumber(all)} that the pipe has`,
          'check the count of turns and the size',
        ),
      );
    const count = unitNamed('count');
    const left = wrenchTurns.sub(turns.amount);
    return ok({
      results: [
        exactly('engaged', engaged, count),
        exactly('showing', all.sub(engaged), count),
        exactly('showing-effective', effective(thread).sub(engaged), count),
        exactly('turns-left', left, unitNamed('turns')),
        exactly('hand-tight', hand, count),
      ],
      working: `hand-tight ${printNumber(hand)} + ${printQuantity(turns)} = ${printNumber(engaged)} threads engaged; of ${printNumber(all)} on the pipe ${printNumber(all.sub(engaged))} show, ${printNumber(effective(thread).sub(engaged))} of them effective`,
      warnings: warningsFor(effective(thread).sub(engaged), left),
    });
  },
};
