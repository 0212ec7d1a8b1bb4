import type { Draft } from 'immer';
import { err, ok, usage, type Fault } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { dimensionFault } from '../reading-value.ts';
import type { JobState, ShopEntry } from '../state.ts';
import { thermometerFault } from '../thermometer.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

const names = ['temperature', 'surface', 'humidity'] as const;

type Name = (typeof names)[number];
type Conditions = Partial<Readonly<Record<Name, string>>>;

const conditionsIn = (data: Conditions): Conditions =>
  Object.fromEntries(names.flatMap((name) => (data[name] === undefined ? [] : [[name, data[name]]])));

const humidityFault = (humidity: string | undefined): Fault | undefined =>
  dimensionFault('humidity', humidity, '%') &&
  usage('value-unreadable', `humidity '${humidity ?? ''}' is not a percentage`, 'give it as 55 %');

const conditionsFault = ({ temperature, surface, humidity }: Conditions): Fault | undefined =>
  thermometerFault('temperature', temperature) ?? thermometerFault('surface', surface) ?? humidityFault(humidity);

/** The steps in which a batch was mixed since the shop was entered. */
const mixedAfter = ({ log, batches }: JobState, target: string): readonly string[] => {
  const from = log.findIndex(({ entry }) => entry === target);
  const later = new Set(log.slice(from + 1).map(({ entry }) => entry));
  return batches.filter(({ entry }) => later.has(entry)).map(({ step }) => step);
};

/** Records the conditions of the shop: temperature of the air, temperature of the work itself, humidity. */
export const shopAct: Act<'shop'> = {
  decide: (ask) => {
    const given = conditionsIn(ask.data);
    const fault =
      conditionsFault(given) ??
      (Object.keys(given).length === 0
        ? usage('field-missing', 'shop: nothing is given', 'give temperature, surface or humidity')
        : undefined);
    return fault ? err(fault) : takeUnless(ask, undefined, []);
  },
  evolve: (draft, entry) => {
    const conditions: ShopEntry = { ...stampOf(entry), ...conditionsIn(entry.data) };
    draft.shop.push(conditions as Draft<ShopEntry>);
  },
  words: () => 'the shop is entered',
  correct: correctsItem<'shop', ShopEntry>(
    {
      items: ({ shop }) => shop,
      names: { temperature: 'temperature', surface: 'surface', humidity: 'humidity' },
      steps: ({ entry }, job) => mixedAfter(job, entry),
    },
    {
      // A bare value means the one condition that was entered.
      bare: (was) => {
        const [name, other] = names.filter((one) => was[one] !== undefined);
        return other === undefined ? name : undefined;
      },
      judge: (_ask, { now }) => {
        const fault = conditionsFault(now);
        return fault ? err(fault) : ok({});
      },
    },
  ),
};
