import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { decide } from '../../quantity/decision.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { printDuration } from '../../quantity/time.ts';
import type { Moment } from '../moment.ts';
import { aboveDewPoint, shopAge, shopNow, shopUnknown, type ShopValue } from '../shop.ts';
import type { JobState } from '../state.ts';
import { limitsNow } from '../values.ts';
import { clockRefusals } from './clock.ts';

const names: { readonly [Name in ShopValue]: string } = {
  temperature: 'temperature of the air',
  surface: 'temperature of the work itself (surface)',
  humidity: 'humidity',
};

/**
 * The conditions of the shop must be within their range, and entered in time.
 * @param typed the temperature that was entered with the mix itself.
 */
export const shopRefusals = (job: JobState, step: Step, moment: Moment, typed?: string): readonly Refusal[] => {
  const need = job.plan.gather.shop;
  if (!need) return [];
  const shop = shopNow(job, step, moment, typed);
  const pairs = [
    ['temperature', shop.temperature, need.temperature],
    ['surface', shop.surface, need.temperature],
    ['humidity', shop.humidity, need.humidity],
    ['surface above the dew point', aboveDewPoint(shop), need.aboveDewPoint],
  ] as const;
  const outside = pairs.flatMap(([name, value, limits]) => {
    const fixed = limits && limitsNow(job, limits);
    return value && fixed && decide(value, fixed) === 'outside'
      ? [
          refusal(
            'shop-outside',
            `shop ${name} is ${printQuantity(value)}, ${fixed.text} is wanted`,
            'bring the shop into its range and enter it again (shop, temperature)',
          ),
        ]
      : [];
  });
  const unknown = shopUnknown(job, step, moment, typed).map((name) =>
    refusal(
      'shop-outside',
      `the ${names[name]} was not entered in the last ${printDuration(shopAge(job))}`,
      `read it now and enter it (shop ${name}=…)`,
    ),
  );
  // How old a value is cannot be told while the clock is in doubt.
  return [...outside, ...unknown, ...clockRefusals(moment)];
};
