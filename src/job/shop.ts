import type { Step } from '../procedure/model.ts';
import { minus, parseQuantity, type Quantity } from '../quantity/quantity.ts';
import { findUnit } from '../quantity/units.ts';
import { calculate } from '../trade/calculations.ts';
import { msOf } from './cure.ts';
import type { Moment } from './moment.ts';
import type { JobState } from './state.ts';
import { airAt } from './temperatures.ts';

/** The conditions of a shop that a person can enter. */
export type ShopValue = 'temperature' | 'surface' | 'humidity';

/** For how long a condition counts where the page says nothing, ms: 2 h (common practice, no source). */
const usualAge = 2 * 3_600_000;

/** For how long an entered condition of the shop counts, ms. */
export const shopAge = ({ plan }: Pick<JobState, 'plan'>): number => plan.gather.shop?.notOlder?.ms ?? usualAge;

/** What is known of the shop at a moment. A value that is too old is not known, each by itself. */
export type ShopNow = { readonly [Name in ShopValue]?: Quantity };

const readAs = (text: string | undefined, unit: string): Quantity | undefined => {
  const named = findUnit(unit);
  const parsed = text === undefined ? undefined : parseQuantity(text, named ? { unit: named } : {});
  return parsed?.ok ? parsed.value : undefined;
};

/** The latest of a condition that was entered for the job, where it is not too old. A time in doubt does not show how old a value is. */
const entered = (job: JobState, name: ShopValue, { ms }: Moment): string | undefined => {
  const from = ms - shopAge(job);
  return job.shop
    .filter((shop) => shop[name] !== undefined && shop.doubtful !== true && msOf(shop.when) <= ms)
    .toSorted((one, other) => msOf(one.when) - msOf(other.when))
    .findLast((shop) => msOf(shop.when) >= from)?.[name];
};

const air = (job: JobState, step: Step, { around, ms }: Moment): string | undefined => {
  const last = airAt(around, step.place ?? '', ms);
  return last !== undefined && !last.doubtful && last.ms >= ms - shopAge(job) ? last.text : undefined;
};

/** The conditions of the shop where a step is done. @param typed the temperature that is entered with the mix itself. */
export const shopNow = (job: JobState, step: Step, moment: Moment, typed?: string): ShopNow => {
  const temperature = readAs(typed ?? air(job, step, moment), '°C');
  const surface = readAs(entered(job, 'surface', moment), '°C');
  const humidity = readAs(entered(job, 'humidity', moment), '%');
  return {
    ...(temperature ? { temperature } : {}),
    ...(surface ? { surface } : {}),
    ...(humidity ? { humidity } : {}),
  };
};

/** How far the work is above the dew point of the air; `undefined` where one of the three values is not known. */
export const aboveDewPoint = ({ temperature, surface, humidity }: ShopNow): Quantity | undefined => {
  if (!temperature || !surface || !humidity) return undefined;
  const done = calculate('dew-point', { temperature, humidity });
  const dew = done.ok ? done.value.results[0]?.quantity : undefined;
  return dew && minus(surface, dew);
};

/** What the page asks of the shop and nobody has entered in time. @param typed the temperature that is entered with the mix itself. */
export const shopUnknown = (job: JobState, step: Step, moment: Moment, typed?: string): readonly ShopValue[] => {
  const need = job.plan.gather.shop;
  if (!need) return [];
  const now = shopNow(job, step, moment, typed);
  const asked: readonly (readonly [ShopValue, boolean])[] = [
    ['temperature', need.temperature !== undefined || need.aboveDewPoint !== undefined],
    ['surface', need.aboveDewPoint !== undefined],
    ['humidity', need.humidity !== undefined || need.aboveDewPoint !== undefined],
  ];
  return asked.flatMap(([name, isAsked]) => (isAsked && now[name] === undefined ? [name] : []));
};
