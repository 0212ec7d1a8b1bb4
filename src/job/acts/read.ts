import type { Draft } from 'immer';
import { err, ok, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { QuantityReading, Reading } from '../../procedure/model.ts';
import { readingOf } from '../../procedure/plan.ts';
import { decideGuarded } from '../../quantity/decision.ts';
import { pendingOf } from '../breach.ts';
import { checkCalculated, recalculate } from '../calculated.ts';
import { drawer, perform, stampOf, touch } from '../draft.ts';
import { valueFault } from '../reading-value.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { toolRefusals } from '../refusals/tools.ts';
import { pendingRefusals } from '../refusals/values.ts';
import type { JobState, Try } from '../state.ts';
import { toolAsked } from '../tool-asked.ts';
import { currentTries, latestTry, limitsNow, quantityOf, slotsOf, type Slot, hasTryLeft } from '../values.ts';
import { uncertaintyOf, verdictOfTry } from '../parts/reading.ts';
import { nothingOpen, takeUnless, type Act, type Ask, type Foreseen, type Intended } from './act.ts';
import { correctsItem, type Correctable } from './correctable.ts';

/** The slot that the person named, or the first one without a value. */
const slotAsked = ({ job, data }: Pick<Intended<'read'>, 'job' | 'data'>, reading: Reading): Outcome<Slot> => {
  const { position, n } = data;
  const fits = slotsOf(reading).filter(
    (slot) => (position === undefined || slot.position === position) && (n === undefined || slot.n === n),
  );
  if (position !== undefined && !reading.positions.includes(position))
    return err(unknownId(`${reading.reading} has no position '${position}'`, position, reading.positions));
  const next =
    fits.find((slot) => latestTry(job, reading.reading, slot) === undefined) ??
    (fits.length === 1 ? fits[0] : undefined);
  if (next) return ok(next);
  return fits.length === 0
    ? err(
        usage(
          'value-unreadable',
          `${reading.reading} is taken ${reading.times} times`,
          `give n from 1 to ${reading.times}`,
        ),
      )
    : err(
        usage(
          'field-missing',
          `${reading.reading} has all its values; which one is taken again?`,
          'say its position or n',
        ),
      );
};

const tryRefusals = ({ job, data, open }: Intended<'read'>, reading: Reading, slot: Slot): readonly Refusal[] => {
  const before = currentTries(job, reading.reading, slot);
  if (before.length === 0) return [];
  return [
    ...pendingRefusals(job, reading.reading, before),
    ...(data.reason === undefined && data.done === undefined && !open.has('reason')
      ? [
          refusal(
            'reason-missing',
            `${reading.reading} already has a value, ${before.at(-1)?.value ?? ''}`,
            'say why it is taken again (reason), or correct a typing slip (correct)',
          ),
        ]
      : []),
    ...(hasTryLeft(job, reading, slot)
      ? []
      : [
          refusal(
            'tries-used',
            `${reading.reading} may be tried ${reading.tries ?? 0} times, and was`,
            'dispose: rework, repair, use-as-is, scrap or ask',
          ),
        ]),
  ];
};

/** What the build says about the uncertainty of an individual tool. */
const toolSpec = (
  { moment }: Pick<Ask, 'moment'>,
  individual: string | undefined,
): Readonly<Record<string, string>> => {
  const tool = individual === undefined ? undefined : own(moment.around.tools, individual);
  const pairs = [
    ['uncertainty', tool?.uncertainty],
    ['resolution', tool?.resolution],
    ['calibration', tool?.calibration],
  ] as const;
  return Object.fromEntries(pairs.flatMap(([key, value]) => (value === undefined ? [] : [[key, value]])));
};

/** A guarded reading (`decide: guarded`) needs the tool's uncertainty U, and limits that are more than 2U apart. */
const guardRefusals = (
  { job, data }: Pick<Intended<'read'>, 'job' | 'data'>,
  reading: QuantityReading,
  spec: Readonly<Record<string, string>>,
): readonly Refusal[] => {
  const refuse = (what: string): readonly Refusal[] => [
    refusal('uncertainty', what, 'use a tool whose uncertainty is known and small enough'),
  ];
  const readAct = uncertaintyOf(spec, reading.unit);
  if (!readAct.ok) return refuse(readAct.fault.what);
  if (readAct.value === undefined)
    return refuse(`${reading.reading} is decided guarded, and the uncertainty of the tool is not known`);
  const limits = reading.limits && limitsNow(job, reading.limits);
  // Whether the limits are more than 2U apart does not depend on the value.
  const value = data.value === undefined ? (limits?.low ?? limits?.high)?.at : quantityOf(reading, data.value);
  const decided = value && limits ? decideGuarded(value, limits, readAct.value) : undefined;
  return decided && !decided.ok ? refuse(decided.fault.what) : [];
};

const tried = ({ command, when, data }: Ask<'read'>, slot: Slot, extra: Partial<Try>): Try => ({
  entry: '',
  at: command.at,
  when,
  by: command.by,
  number: 0,
  n: slot.n,
  ...(slot.position === undefined ? {} : { position: slot.position }),
  value: data.value,
  ...(data.calculated === undefined ? {} : { calculated: data.calculated }),
  ...extra,
});

const withTries = (job: JobState, reading: string, tries: readonly Try[]): JobState => ({
  ...job,
  tries: { ...job.tries, [reading]: tries },
});

const triesOf = (job: JobState, reading: string): readonly Try[] => own(job.tries, reading) ?? [];

const readingIds = ({ plan }: JobState): readonly string[] =>
  plan.steps.flatMap((step) => step.readings.map(({ reading }) => reading));

/** The reading to which a try belongs, in the plan that the job follows. */
const readingOfTry = (job: JobState, target: string): ReturnType<typeof readingOf> => {
  const [id] = Object.entries(job.tries).find(([, tries]) => tries.some(({ entry }) => entry === target)) ?? [];
  return id === undefined ? undefined : readingOf(job.plan, id);
};

/** Judges a corrected try by the rules of the first. A corrected value is always typed, even where the struck one was calculated. */
const judgeTry: Correctable<'read'>['judge'] = (ask, { target, was, now }) => {
  const { job, moment } = ask;
  const found = readingOfTry(job, target);
  if (!found) return ok({});
  const { reading } = found;
  const taken = triesOf(job, reading.reading).find(({ entry }) => entry === target);
  const { value = '', tool: named, reason } = now;
  const wrong = valueFault(reading, value);
  if (wrong) return err(wrong);
  if (was.reason !== undefined && reason === undefined)
    return err(usage('field-missing', `${reading.reading} was taken again for a reason`, 'give the right reason'));
  const tool = toolAsked(job, moment.around, reading.tool, named);
  if (!tool.ok) return tool;
  const isGuarded = reading.kind === 'quantity' && reading.guarded && named !== was.tool;
  const uncertainty = isGuarded ? { uncertainty: toolSpec(ask, named) } : {};
  if (!taken) return ok({});
  const { calculated, ...rest } = taken;
  const right: Try = { ...rest, ...(value === was.value && calculated ? { calculated } : {}), value, ...uncertainty };
  const tries = triesOf(job, reading.reading).map((one) => (one === taken ? right : one));
  return ok({
    data: uncertainty,
    verdict: verdictOfTry(withTries(job, reading.reading, tries), reading, right, moment.around),
  });
};

const correctedRead = correctsItem<'read', Try>(
  {
    items: ({ tries }) => Object.values(tries).flat(),
    names: { value: 'value', tool: 'tool', reason: 'reason', calculated: 'calculated' },
    steps: ({ entry }, job) => [readingOfTry(job, entry)?.step.step],
  },
  {
    bare: () => 'value',
    otherwise: 'enter the value where it belongs, and correct this one to what was read here',
    judge: judgeTry,
    after: (draft, { target, was, now, entry }) => {
      const taken = Object.values(draft.tries)
        .flat()
        .find((one) => one.entry === target);
      if (!taken) return;
      if (now.value !== was.value) delete taken.calculated;
      if (entry.data.uncertainty) taken.uncertainty = { ...entry.data.uncertainty };
    },
  },
);

const foresee = (intended: Intended<'read'>): Foreseen => {
  const { job, moment, data } = intended;
  const found = readingOf(job.plan, data.reading ?? '');
  if (!found) return { step: undefined, refusals: [] };
  const { step, reading } = found;
  const opening = openingRefusals(job, step, moment);
  const slot = slotAsked(intended, reading);
  const tool = toolAsked(job, moment.around, reading.tool, data.tool);
  if (!slot.ok || !tool.ok) return { step, refusals: opening };
  const isGuarded = reading.kind === 'quantity' && reading.guarded;
  return {
    step,
    refusals: [
      ...opening,
      ...performerRefusals(moment),
      ...tryRefusals(intended, reading, slot.value),
      ...toolRefusals(job, reading.tool, tool.value, moment),
      ...(isGuarded ? guardRefusals(intended, reading, toolSpec(intended, tool.value)) : []),
    ],
  };
};

export const read: Act<'read'> = {
  foresee,
  decide: (ask) => {
    const { job, data, moment } = ask;
    const found = readingOf(job.plan, data.reading);
    if (!found) return err(unknownId(`no reading '${data.reading}' in this job`, data.reading, readingIds(job)));
    const { step, reading } = found;
    const { value, calculated } = data;
    const wrong = valueFault(reading, value) ?? (calculated && checkCalculated(reading, value, calculated));
    if (wrong) return err(wrong);
    const tool = toolAsked(job, moment.around, reading.tool, data.tool);
    if (!tool.ok) return tool;
    const { refusals } = foresee({ ...ask, open: nothingOpen });
    const slot = slotAsked(ask, reading);
    if (!slot.ok) return refusals.length > 0 && data.done === undefined ? takeUnless(ask, step, refusals) : slot;
    const isGuarded = reading.kind === 'quantity' && reading.guarded;
    const spec = isGuarded ? toolSpec(ask, tool.value) : {};
    const taken = tried(ask, slot.value, isGuarded ? { uncertainty: spec } : {});
    // The job as it would be with this try, so that the person sees the verdict as it will be.
    const withTaken = withTries(job, reading.reading, [...triesOf(job, reading.reading), taken]);
    const worked = calculated && recalculate(calculated);
    return takeUnless(ask, step, refusals, {
      data: {
        n: slot.value.n,
        ...(slot.value.position === undefined ? {} : { position: slot.value.position }),
        ...(tool.value === undefined ? {} : { tool: tool.value }),
        ...(isGuarded ? { uncertainty: spec } : {}),
      },
      verdict: verdictOfTry(withTaken, reading, taken, moment.around),
      told: worked?.ok ? [...worked.value.warnings] : [],
    });
  },
  evolve: (draft, entry, job) => {
    const { reading, position, n = 1, value, calculated, tool, uncertainty = {}, done } = entry.data;
    const found = readingOf(job.plan, reading);
    const tries = drawer(draft.tries, reading, () => []);
    // counted in the job as it was, because a draft of every try would be made to be looked at
    const before = triesOf(job, reading).filter((taken) => taken.position === position && taken.n === n).length;
    const reason = entry.data.reason ?? (before > 0 ? done : undefined);
    const taken: Try = {
      ...stampOf(entry),
      ...pendingOf(entry),
      number: before + 1,
      n,
      value,
      ...(position === undefined ? {} : { position }),
      ...(calculated === undefined ? {} : { calculated }),
      ...(reason === undefined ? {} : { reason }),
      ...(tool === undefined ? {} : { tool }),
      ...(Object.keys(uncertainty).length > 0 ? { uncertainty } : {}),
    };
    tries.push(taken as Draft<Try>);
    if (!found) return;
    perform(draft, found.step.step, entry);
    touch(draft, found.step.step, entry);
  },
  words: ({ reading, position = '', value, calculated }) =>
    [reading, position, value, calculated ? 'calculated' : ''].filter((part) => part !== '').join(' '),
  correct: correctedRead,
};
