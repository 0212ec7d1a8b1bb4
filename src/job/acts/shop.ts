import type { Draft } from 'immer';
import { err, usage, type Fault } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { dimensionFault } from '../reading-value.ts';
import type { ShopEntry, Struck } from '../state.ts';
import { thermometerFault } from '../thermometer.ts';
import { takeUnless, type Act, type Correctable } from './act.ts';
import { fieldsNamed, fieldsText, struckBy } from './struck.ts';

const names = ['temperature', 'surface', 'humidity'] as const;

type Name = (typeof names)[number];
type Conditions = Partial<Readonly<Record<Name, string>>>;

const isName = (name: string): name is Name => names.some((one) => one === name);

const conditionsIn = (data: Conditions): Conditions =>
  Object.fromEntries(names.flatMap((name) => (data[name] === undefined ? [] : [[name, data[name]]])));

const humidityFault = (humidity: string | undefined): Fault | undefined =>
  dimensionFault('humidity', humidity, '%') &&
  usage('value-unreadable', `humidity '${humidity ?? ''}' is not a percentage`, 'give it as 55 %');

const conditionsFault = ({ temperature, surface, humidity }: Conditions): Fault | undefined =>
  thermometerFault('temperature', temperature) ?? thermometerFault('surface', surface) ?? humidityFault(humidity);

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
    const conditions: ShopEntry = { ...stampOf(entry), ...conditionsIn(entry.data), struck: [] };
    draft.shop.push(conditions as Draft<ShopEntry>);
  },
  words: () => 'the shop is entered',
};

/** The condition that a bare value corrects: the one that was entered. */
const bareName = (was: Conditions): Name => names.find((name) => was[name] !== undefined) ?? 'temperature';

/** Corrects the conditions. Each one is read again as it was when it was entered, and those not named keep their values. */
export const correctedShop: Correctable = {
  decide: (ask) => {
    const was = ask.job.shop.find((one) => one.entry === ask.data.entry);
    if (!was) return undefined;
    const entered = Object.keys(conditionsIn(was));
    if (typeof ask.data.value === 'string' && entered.length > 1)
      return err(
        usage('field-missing', `the entry has ${entered.join(', ')}`, 'say which: value.temperature, value.humidity'),
      );
    const fields = fieldsNamed(ask.data.value, bareName(was));
    const stray = Object.keys(fields).find((name) => !isName(name));
    if (stray !== undefined)
      return err(usage('value-unreadable', `the shop has no '${stray}'`, `one of: ${names.join(', ')}`));
    const fault = conditionsFault(fields);
    return fault ? err(fault) : takeUnless(ask, undefined, [], { told: [`struck: ${fieldsText(conditionsIn(was))}`] });
  },
  strike: (draft, entry) => {
    const was = draft.shop.find((one) => one.entry === entry.data.entry);
    if (!was) return undefined;
    was.struck.push(struckBy(entry, was, fieldsText(conditionsIn(was))) as Draft<Struck>);
    for (const [name, value] of Object.entries(fieldsNamed(entry.data.value, bareName(was))))
      if (isName(name)) was[name] = value;
    return {};
  },
};
