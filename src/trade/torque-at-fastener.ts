import { err, ok } from '../fault/fault.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { adapterCaution, inputs, adapterRange, adapterResult, setup, adapterSource } from './adapter.ts';
import { isPositive, outOfRange, type Calculation } from './calculation.ts';
import { torqueBehind } from './lever.ts';

export const torqueAtFastener: Calculation = {
  name: 'torque-at-fastener',
  title: 'Torque at the fastener for what the wrench showed',
  inputs: inputs('torque that the wrench showed'),
  source: adapterSource,
  range: adapterRange,
  caution: adapterCaution,
  example: { torque: '214 in·lb', wrench: '10 in', adapter: '4 in' },
  compute: (given) => {
    const known = setup(given);
    if (!known.ok) return known;
    const [torque, drag] = [given.quantity('torque'), given.maybe('drag')];
    const there = torqueBehind(torque, known.value.share, drag);
    if (!isPositive(there))
      return err(outOfRange('the drag is all that the wrench showed', 'tighten further, then read again'));
    const taken = drag === undefined ? printQuantity(torque) : `(${printQuantity(torque)} - ${printQuantity(drag)})`;
    return ok({
      results: [adapterResult('torque', there, known.value.exact)],
      working: `${taken} × ${known.value.lever} / ${printQuantity(given.quantity('wrench'))} = ${printQuantity(there)}`,
    });
  },
};
