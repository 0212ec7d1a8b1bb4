import { castDraft } from 'immer';
import { isRefusalCode } from '../../fault/codes.ts';
import { err, ok, refusal, usage, type Fault, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import { overrulable } from '../departure.ts';
import { stampOf } from '../draft.ts';
import { sheetFor } from '../gate.ts';
import { gateItemWords, type GateSheet } from '../gate-sheet.ts';
import { personNamed } from '../people.ts';
import { powerRefusals } from '../refusals/power.ts';
import type { Departure } from '../judged.ts';
import { isSkipped, stepApplies } from '../step-state.ts';
import { currentStep, isDone } from '../where.ts';
import { takeUnless, type Act, type Ask } from './act.ts';
import { correctsItem, type Correctable } from './correctable.ts';

/** A designer who agreed signs too. Anybody else's agreement is recorded as their word. */
const signsToo = (
  { command, moment }: Pick<Ask, 'moment'> & { readonly command: { readonly by: string } },
  named: string | undefined,
): readonly string[] => {
  const { people } = moment.around;
  const agreed = named === undefined ? undefined : personNamed(Object.values(people), named);
  const isDesigner = agreed !== undefined && own(people, agreed)?.powers.includes('designer') === true;
  return isDesigner && agreed !== command.by ? [agreed] : [];
};

const strictRefusals = ({ job, data }: Ask<'depart'>): readonly Refusal[] =>
  job.plan.strict && data.code !== 'manual'
    ? [
        refusal(
          'strict',
          `${job.procedure} is strict: no departure overrules what it refuses`,
          'the only way on is another revision',
        ),
      ]
    : [];

/** The gate that a job passes next, with its sheet now; `undefined` where the job passes none any more. */
const gateAhead = ({
  job,
  moment,
}: Ask<'depart'>): { readonly step: string; readonly sheet: GateSheet } | undefined => {
  const step = job.plan.steps.find(
    (one) => one.gate !== undefined && stepApplies(job, one) && !isSkipped(job, one) && !isDone(job, one),
  );
  return step?.gate === undefined
    ? undefined
    : { step: step.step, sheet: sheetFor(job, step, step.gate, moment.around) };
};

const excepting = (ask: Ask<'depart'>): { readonly data: object; readonly told: readonly string[] } => {
  const ahead = gateAhead(ask);
  if (ahead === undefined) return { data: {}, told: ['this job passes no gate any more: nothing is excepted'] };
  const { step, sheet } = ahead;
  const told =
    sheet.open.length === 0
      ? [`nothing is open at the gate ${sheet.gate}: nothing is excepted`]
      : sheet.open.map((item) => `excepted at ${sheet.gate}: ${gateItemWords(item)}`);
  return { data: { step, 'gate-sheet': sheet }, told };
};

const codeFault = (code: string): Fault | undefined =>
  code === 'manual' || isRefusalCode(code)
    ? undefined
    : unknownId(`no refusal '${code}'`, code, [...overrulable, 'manual']);

/** What a departure has overruled stays overruled, so its code is corrected only before it served a step. Who agrees signs, as at first. */
const judgeDeparture: Correctable<'depart'>['judge'] = (ask, { target, was, now }) => {
  const { code = 'manual', agreed } = now;
  const fault = codeFault(code);
  if (fault) return err(fault);
  const served = ask.job.departures.find(({ entry }) => entry === target)?.step;
  if (code !== was.code && served !== undefined)
    return err(
      usage('not-corrected', `${target} has overruled ${was.code ?? ''} at ${served}`, 'enter another departure'),
    );
  return ok({ also: agreed === was.agreed ? [] : signsToo(ask, agreed) });
};

/**
 * A departure that a strict procedure would ignore is refused, so that nobody relies on it. A `manual` departure overrules nothing and is
 * always recorded.
 */
export const departAct: Act<'depart'> = {
  decide: (ask) => {
    const { code } = ask.data;
    const fault = codeFault(code);
    if (fault) return err(fault);
    const isHeeded = code === 'manual' || (overrulable as readonly string[]).includes(code);
    const refusals = [
      ...powerRefusals(ask.command.by, ['builder'], 'depart from the manual', ask.moment),
      ...strictRefusals(ask),
    ];
    const gate = code === 'gate-open' ? excepting(ask) : undefined;
    return takeUnless(ask, currentStep(ask.job), refusals, {
      also: signsToo(ask, ask.data.agreed),
      told: isHeeded ? (gate?.told ?? []) : [`kept on paper; ${code} is not overruled by a departure`],
      ...(gate === undefined ? {} : { data: gate.data }),
    });
  },
  evolve: (draft, entry) => {
    const { code, says, did, because, agreed, weight, access, steps, step, 'gate-sheet': sheet } = entry.data;
    const [signer] = entry.also;
    const departure: Departure = {
      ...stampOf(entry),
      code,
      says,
      did,
      because,
      ...(agreed === undefined ? {} : { agreed }),
      ...(agreed === undefined || signer === undefined ? {} : { agreedBy: signer }),
      ...(weight === undefined ? {} : { weight }),
      ...(access === undefined ? {} : { access }),
      ...(steps === undefined ? {} : { steps }),
      ...(step === undefined ? {} : { step }),
      ...(sheet === undefined ? {} : { excepts: { gate: sheet.gate, items: sheet.open } }),
    };
    draft.departures.push(castDraft(departure));
  },
  words: () => 'departure entered',
  correct: correctsItem<'depart', Departure>(
    {
      items: ({ departures }) => departures,
      names: {
        code: 'code',
        says: 'says',
        did: 'did',
        because: 'because',
        agreed: 'agreed',
        weight: 'weight',
        access: 'access',
        steps: 'steps',
      },
      steps: ({ step }, { plan }) => (step === undefined ? plan.steps.map((one) => one.step) : [step]),
    },
    {
      judge: judgeDeparture,
      after: (draft, { target, was, now, entry }) => {
        const [signer] = entry.also;
        const departure = draft.departures.find((one) => one.entry === target);
        if (!departure || was.agreed === now.agreed) return;
        // Whoever signed the first line has not signed for the corrected one.
        delete departure.agreedBy;
        if (now.agreed !== undefined && signer !== undefined) departure.agreedBy = signer;
      },
    },
  ),
};
