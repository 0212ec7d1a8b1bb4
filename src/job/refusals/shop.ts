import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { decide } from '../../quantity/decision.ts';
import { minus, parseQuantity, printQuantity, type Quantity } from '../../quantity/quantity.ts';
import { findUnit } from '../../quantity/units.ts';
import { calculate } from '../../trade/calculations.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { airAt } from '../temperatures.ts';
import { limitsNow } from '../values.ts';

interface ShopNow {
  readonly temperature?: Quantity;
  readonly surface?: Quantity;
  readonly humidity?: Quantity;
}

const readAs = (text: string | undefined, unit: string): Quantity | undefined => {
  const named = findUnit(unit);
  const parsed = text === undefined ? undefined : parseQuantity(text, named ? { unit: named } : {});
  return parsed?.ok ? parsed.value : undefined;
};

/** The latest conditions known of the shop: entered for the job, for the place, or with the mix itself. */
const shopNow = (job: JobState, step: Step, { around, ms }: Moment, typed: string | undefined): ShopNow => {
  const temperature = readAs(typed ?? airAt(around, step.place ?? '', ms)?.text, '°C');
  const surface = readAs(job.shop.findLast((shop) => shop.surface !== undefined)?.surface, '°C');
  const humidity = readAs(job.shop.findLast((shop) => shop.humidity !== undefined)?.humidity, '%');
  return {
    ...(temperature ? { temperature } : {}),
    ...(surface ? { surface } : {}),
    ...(humidity ? { humidity } : {}),
  };
};

const overDewPoint = (shop: ShopNow): Quantity | undefined => {
  const surface = shop.surface ?? shop.temperature;
  if (!surface || !shop.temperature || !shop.humidity) return undefined;
  const done = calculate('dew-point', { temperature: shop.temperature, humidity: shop.humidity });
  const dew = done.ok ? done.value.results[0]?.quantity : undefined;
  return dew && minus(surface, dew);
};

/**
 * The conditions of the shop must be within their range, as far as they are known.
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
    ['surface above the dew point', overDewPoint(shop), need.aboveDewPoint],
  ] as const;
  return pairs.flatMap(([name, value, limits]) => {
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
};
