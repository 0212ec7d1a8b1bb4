import type { Draft } from 'immer';
import { err, ok, usage, type Fault } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import { suggest } from '../../fault/nearest.ts';
import { stampOf, touch } from '../draft.ts';
import { stepForPart } from '../serials.ts';
import type { PartFitted } from '../state.ts';
import { currentStep } from '../where.ts';
import { takeUnless, type Act, type Ask, type AskedJob } from './act.ts';
import { correctsItem } from './correctable.ts';

const numbersOf = ({ job }: Pick<Ask, 'job'>): readonly string[] => [
  ...new Set([...job.plan.gather.parts.map(({ part }) => part), ...job.plan.steps.flatMap(({ parts }) => parts)]),
];

/** A serial number exists once. @param but the entry that is corrected. */
const twice = ({ moment }: AskedJob, part: string, serial: string, but?: string): Fault | undefined => {
  const there = moment.around.fittedAt(part, serial);
  if (there === undefined || there.entry === but) return undefined;
  const at = there.step === undefined ? there.job : `${there.step} of ${there.job}`;
  return usage(
    'serial-twice',
    `${part} SN ${serial} is in ${at} already (${there.entry})`,
    `read the number again; if the other one is wrong, correct it (correct ${there.entry}), or undo its step where it came out`,
  );
};

/** What the stock says about a serial number that it does not list although it lists others of the part. */
const notListed = ({ moment }: AskedJob, part: string, serial: string): readonly string[] => {
  const stock = moment.around.part(part, serial);
  if (stock === undefined || stock.serial !== undefined) return [];
  const near = suggest(serial, stock.serials);
  const lists = near === undefined ? `it lists ${stock.serials.join(', ')}` : `the nearest is SN ${near}`;
  return [`the stock has no ${part} SN ${serial}; ${lists}: check the number`];
};

/** Warns where the part is in quarantine. Naming it is not refused. */
const held = ({ moment }: AskedJob, part: string, serial: string): readonly string[] => {
  const quarantine = moment.around.part(part, serial)?.quarantine;
  return quarantine === undefined ? [] : [`${part} SN ${serial} is in quarantine: ${quarantine.because}`];
};

/** Names a part by its serial number, before it goes in. */
export const partAct: Act<'part'> = {
  decide: (ask) => {
    const { part, serial } = ask.data;
    const known = numbersOf(ask);
    if (!known.includes(part)) return err(unknownId(`no part '${part}' in this procedure`, part, known));
    const fault = twice(ask, part, serial);
    if (fault) return err(fault);
    const step = stepForPart(ask.job, part, currentStep(ask.job));
    return takeUnless(ask, undefined, [], {
      data: step === undefined ? {} : { step },
      told: [...notListed(ask, part, serial), ...held(ask, part, serial)],
    });
  },
  evolve: (draft, entry) => {
    const { part, serial, lot, step } = entry.data;
    const fitted: PartFitted = {
      ...stampOf(entry),
      part,
      serial,
      ...(lot === undefined ? {} : { lot }),
      ...(step === undefined ? {} : { step }),
    };
    draft.fitted.push(fitted as Draft<PartFitted>);
    if (step !== undefined) touch(draft, step, entry);
  },
  words: (data) => `${data.part} SN ${data.serial}`,
  correct: correctsItem<'part', PartFitted>(
    {
      items: ({ fitted }) => fitted,
      names: { serial: 'serial', lot: 'lot' },
      steps: ({ step }) => [step],
    },
    {
      bare: () => 'serial',
      otherwise: 'name the other part (part PART serial=…)',
      judge: (ask, { target, now }) => {
        const was = ask.job.fitted.find(({ entry }) => entry === target);
        const { serial = '' } = now;
        const fault = was && twice(ask, was.part, serial, target);
        return fault ? err(fault) : ok({ told: was ? notListed(ask, was.part, serial) : [] });
      },
    },
  ),
};
