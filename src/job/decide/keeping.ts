import { isRefusalCode } from '../../fault/codes.ts';
import { err, refusal, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import { compareQuantities, parseQuantity } from '../../quantity/quantity.ts';
import { findUnit } from '../../quantity/units.ts';
import { textOf, wholeOf, type Taken } from '../entry.ts';
import { isOpenItem, leftOpen } from '../loose.ts';
import { currentStep } from '../where.ts';
import { temperatureOf } from '../temperatures.ts';
import { overrulable, settle, type Ask } from './ask.ts';
import { namedLotTrouble } from '../refusals/lots.ts';
import { powerRefusals } from '../refusals/power.ts';
import { checkTemperature } from './reading.ts';
import { own } from '../../fault/own.ts';

const unknown = (what: string, id: string, known: readonly string[]): Fault =>
  unknownId(`no ${what} '${id}'`, id, known);

/** A gate must be one of the build's, where the build names any. */
export const gateFault = (ask: Pick<Ask, 'moment'>, gate: string): Fault | undefined =>
  ask.moment.around.gates.length === 0 || ask.moment.around.gates.includes(gate)
    ? undefined
    : unknown('gate', gate, ask.moment.around.gates);

const materialsOf = (ask: Ask): readonly string[] => [
  ...new Set<string>([
    ...ask.job.plan.gather.materials.map((need) => need.material),
    ...ask.job.plan.steps.flatMap((step) => (step.mix ? [step.mix.material] : [])),
  ]),
];

export const decideLot = (ask: Ask): Outcome<Taken> => {
  const material = textOf(ask.data, 'material') ?? '';
  const part = textOf(ask.data, 'part');
  if (!materialsOf(ask).includes(material)) return err(unknown('material', material, materialsOf(ask)));
  const parts = ask.job.plan.steps.flatMap((step) =>
    step.mix?.material === material ? step.mix.ratio.map((one) => one.part) : [],
  );
  if (part !== undefined && parts.length > 0 && !parts.includes(part))
    return err(unknown('part of the ratio', part, [...new Set<string>(parts)]));
  const useBy = textOf(ask.data, 'use-by');
  const lot = {
    entry: '',
    at: ask.command.at,
    when: ask.when,
    by: ask.command.by,
    material,
    number: textOf(ask.data, 'number') ?? '',
    ...(part === undefined ? {} : { part }),
    ...(useBy === undefined ? {} : { useBy }),
  };
  return settle(ask, undefined, [], {
    told: namedLotTrouble(ask.job, lot, ask.moment).map(({ what }) => `${what}: a mix is refused`),
  });
};

export const decideUse = (ask: Ask): Outcome<Taken> => {
  const kind = textOf(ask.data, 'kind') ?? '';
  const id = textOf(ask.data, 'tool') ?? '';
  const tool = own(ask.moment.around.tools, id);
  if (!tool) return err(unknown('tool in the build', id, Object.keys(ask.moment.around.tools)));
  if (tool.kind !== kind)
    return err(
      usage('value-unreadable', `${id} is a ${tool.kind}, not a ${kind}`, `use ${tool.kind}, or another tool`),
    );
  return settle(ask, undefined, []);
};

export const decideShop = (ask: Ask): Outcome<Taken> => {
  const humidity = textOf(ask.data, 'humidity');
  const percent = findUnit('%');
  const parsed = humidity === undefined || !percent ? undefined : parseQuantity(humidity, { unit: percent });
  const fault =
    checkTemperature('temperature', textOf(ask.data, 'temperature')) ??
    checkTemperature('surface', textOf(ask.data, 'surface')) ??
    (parsed && (!parsed.ok || parsed.value.unit.dimension !== 'percent')
      ? usage('value-unreadable', `humidity '${humidity ?? ''}' is not a percentage`, 'give it as 55 %')
      : undefined) ??
    (['temperature', 'surface', 'humidity'].every((key) => ask.data[key] === undefined)
      ? usage('field-missing', 'shop: nothing is given', 'give temperature, surface or humidity')
      : undefined);
  return fault ? err(fault) : settle(ask, undefined, []);
};

/** A temperature by itself: readable, and its lowest not above the reading. */
export const temperatureFault = (temperature: string | undefined, lowest: string | undefined): Fault | undefined => {
  const fault = checkTemperature('temperature', temperature) ?? checkTemperature('lowest', lowest);
  if (fault) return fault;
  const [now, low] = [temperature, lowest].map((text) =>
    text === undefined ? undefined : temperatureOf(text)?.quantity,
  );
  return now && low && compareQuantities(low, now) > 0
    ? usage(
        'value-unreadable',
        `the lowest, ${lowest ?? ''}, is above the reading, ${temperature ?? ''}`,
        'read the thermometer again',
      )
    : undefined;
};

export const decidePhoto = (ask: Ask): Outcome<Taken> => settle(ask, undefined, []);

/** A departure that a strict procedure would not heed is not taken at all; `manual` overrules nothing and is always kept. */
export const decideDepart = (ask: Ask): Outcome<Taken> => {
  const code = textOf(ask.data, 'code') ?? '';
  if (code !== 'manual' && !isRefusalCode(code)) return err(unknown('refusal', code, [...overrulable, 'manual']));
  const agreed = textOf(ask.data, 'agreed');
  const signs =
    agreed !== undefined &&
    agreed !== ask.command.by &&
    own(ask.moment.around.people, agreed)?.powers.includes('designer') === true;
  const strict = ask.job.plan.strict && code !== 'manual';
  const heeded = code === 'manual' || (overrulable as readonly string[]).includes(code);
  return settle(
    ask,
    currentStep(ask.job),
    [
      ...powerRefusals(ask.command.by, ['builder'], 'depart from the manual', ask.moment),
      ...(strict
        ? [
            refusal(
              'strict',
              `${ask.job.procedure} is strict: no departure overrules what it refuses`,
              'the only way on is another revision',
            ),
          ]
        : []),
    ],
    { also: signs ? [agreed] : [], told: heeded ? [] : [`kept on paper; ${code} is not overruled by a departure`] },
  );
};

/** A loose item belongs to the step that declares it, else to the open step; its tag is numbered for the build. */
export const decideLoose = (ask: Ask): Outcome<Taken> => {
  const count = wholeOf(ask.data, 'count') ?? 0;
  if (count < 1) return err(usage('value-unreadable', 'a loose item is at least one', 'give count'));
  const fault = gateFault(ask, textOf(ask.data, 'before') ?? '');
  if (fault) return err(fault);
  const item = textOf(ask.data, 'item');
  const declared = ask.job.plan.steps.find((step) => step.loose.some((part) => part.item === item));
  const step = declared ?? currentStep(ask.job);
  return settle(ask, step, [], {
    data: { tag: ask.moment.around.nextTag, ...(step ? { step: step.step } : {}) },
    told: [`tag ${ask.moment.around.nextTag}`],
  });
};

export const decideClose = (ask: Ask): Outcome<Taken> => {
  const tag = textOf(ask.data, 'tag') ?? '';
  const open = ask.moment.around.looseItems.filter(isOpenItem);
  const item = open.find((one) => one.tag === tag) ?? open.find((one) => one.item === tag);
  if (!item)
    return err(
      unknown(
        'open loose item',
        tag,
        open.map((one) => one.tag),
      ),
    );
  const count = wholeOf(ask.data, 'count') ?? 0;
  const left = leftOpen(item) - count;
  if (count < 1 || left < 0)
    return err(
      usage('value-unreadable', `${item.tag} ${item.item} has ${leftOpen(item)} open, not ${count}`, 'count again'),
    );
  return settle(ask, undefined, [], {
    data: { tag: item.tag, item: item.item, left },
    told: [left === 0 ? `${item.tag} ${item.item} is closed` : `${item.tag} ${item.item}: ${left} still open`],
  });
};

export const decideSaid = (ask: Ask): Outcome<Taken> => settle(ask, undefined, []);
