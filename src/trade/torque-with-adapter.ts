import { ok } from '../fault/fault.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { adapterCaution, inputs, adapterRange, adapterResult, setup, adapterSource } from './adapter.ts';
import type { Calculation } from './calculation.ts';
import { torqueShown } from './lever.ts';

export const torqueWithAdapter: Calculation = {
  name: 'torque-with-adapter',
  title: 'What the wrench must show with an adapter on it',
  inputs: inputs('torque wanted at the fastener'),
  source: adapterSource,
  range: adapterRange,
  caution: adapterCaution,
  example: { torque: '300 in·lb', wrench: '10 in', adapter: '4 in' },
  compute: (given) => {
    const known = setup(given);
    if (!known.ok) return known;
    const [torque, drag] = [given.quantity('torque'), given.maybe('drag')];
    const shown = torqueShown(torque, known.value.share, drag);
    const added = drag === undefined ? '' : ` + ${printQuantity(drag)}`;
    return ok({
      results: [adapterResult('setting', shown, known.value.exact)],
      working: `${printQuantity(torque)} × ${printQuantity(given.quantity('wrench'))} / ${known.value.lever}${added} = ${printQuantity(shown)}`,
    });
  },
};
