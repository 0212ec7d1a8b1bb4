import { good } from '../fault/fault.ts';
import { plus, printQuantity, scale } from '../quantity/quantity.ts';
import { caution, inputs, range, result, setup, source } from './adapter.ts';
import type { Calculation } from './calculation.ts';

export const torqueWithAdapter: Calculation = {
  name: 'torque-with-adapter',
  title: 'What the wrench must show with an adapter on it',
  inputs: inputs('torque wanted at the fastener'),
  source,
  range,
  caution,
  example: { torque: '300 in·lb', wrench: '10 in', adapter: '4 in' },
  compute: (given) => {
    const known = setup(given);
    if (!known.ok) return known;
    const [torque, drag] = [given.quantity('torque'), given.maybe('drag')];
    const bare = scale(torque, known.value.share);
    const shown = drag === undefined ? bare : plus(bare, drag);
    const added = drag === undefined ? '' : ` + ${printQuantity(drag)}`;
    return good({
      results: [result('setting', shown, known.value.exact)],
      working: `${printQuantity(torque)} × ${printQuantity(given.quantity('wrench'))} / ${known.value.lever}${added} = ${printQuantity(shown)}`,
    });
  },
};
