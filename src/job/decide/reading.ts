import { err, ok, refusal, usage, type Fault, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { QuantityReading, Reading } from '../../procedure/model.ts';
import { readingOf, stepOf } from '../../procedure/plan.ts';
import { decideGuarded } from '../../quantity/decision.ts';
import { parseQuantity } from '../../quantity/quantity.ts';
import { checkCalculated, recalculate } from '../calculated.ts';
import { calculatedOf, textOf, wholeOf, type CalculatedBy, type Taken } from '../entry.ts';
import { inRatio, readWeights } from '../potlife.ts';
import { correctedFields } from '../evolve/values.ts';
import type { Batch, JobState, Try } from '../state.ts';
import { isWholeTicks } from '../../quantity/ticks.ts';
import { temperatureOf } from '../temperatures.ts';
import { countOf, currentTries, latestTry, limitsNow, quantityOf, slotsOf, type Slot } from '../values.ts';
import { uncertaintyOf, verdictOfFastener, verdictOfTry } from '../verdicts.ts';
import { readingAsked, settle, type Ask } from './ask.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { toolRefusals } from '../refusals/tools.ts';
import { own } from '../../fault/own.ts';

const unreadable = (what: string, todo: string): Fault => usage('value-unreadable', what, todo);

/** What was typed, held against the kind of the reading: a fault where it cannot be read at all. */
const checkValue = (reading: Reading, value: string): Fault | undefined => {
  if (reading.kind === 'text') return undefined;
  if (reading.kind === 'choice')
    return reading.choices.includes(value)
      ? undefined
      : unreadable(`${reading.reading}: '${value}' is none of the choices`, `one of: ${reading.choices.join(', ')}`);
  if (reading.kind === 'count')
    return countOf(value)
      ? undefined
      : unreadable(`${reading.reading}: '${value}' is not a count`, 'give a whole number');
  const parsed = parseQuantity(value, { unit: reading.unit });
  if (!parsed.ok) return { ...parsed.fault, what: `${reading.reading}: ${parsed.fault.what}` };
  return parsed.value.unit.dimension === reading.unit.dimension
    ? undefined
    : unreadable(
        `${reading.reading}: '${value}' is not a ${reading.unit.dimension}`,
        `give it in ${reading.unit.name}`,
      );
};

/** The slot that is meant: as said, or the first that has no value yet. */
const slotAsked = (ask: Ask, reading: Reading): Outcome<Slot> => {
  const position = textOf(ask.data, 'position');
  const n = wholeOf(ask.data, 'n');
  const fits = slotsOf(reading).filter(
    (slot) => (position === undefined || slot.position === position) && (n === undefined || slot.n === n),
  );
  if (position !== undefined && !reading.positions.includes(position)) {
    return err(unknownId(`${reading.reading} has no position '${position}'`, position, reading.positions));
  }
  const next =
    fits.find((slot) => latestTry(ask.job, reading.reading, slot) === undefined) ??
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

const tryRefusals = (ask: Ask, reading: Reading, slot: Slot): readonly Refusal[] => {
  const before = currentTries(ask.job, reading.reading, slot);
  if (before.length === 0) return [];
  return [
    ...(textOf(ask.data, 'reason') === undefined
      ? [
          refusal(
            'reason-missing',
            `${reading.reading} already has a value, ${before.at(-1)?.value ?? ''}`,
            'say why it is taken again (reason), or correct a typing slip (correct)',
          ),
        ]
      : []),
    ...(reading.tries !== undefined && before.length >= reading.tries
      ? [
          refusal(
            'tries-used',
            `${reading.reading} may be tried ${reading.tries} times, and was`,
            'dispose: rework, repair, use-as-is, scrap or ask',
          ),
        ]
      : []),
  ];
};

const toolSpec = (ask: Ask, individual: string | undefined): Readonly<Record<string, string>> => {
  const tool = individual === undefined ? undefined : own(ask.moment.around.tools, individual);
  const pairs = [
    ['uncertainty', tool?.uncertainty],
    ['resolution', tool?.resolution],
    ['calibration', tool?.calibration],
  ] as const;
  return Object.fromEntries(pairs.flatMap(([key, value]) => (value === undefined ? [] : [[key, value]])));
};

/** `decide: guarded` wants the individual's U, and a zone that is wider than 2U. */
const guardRefusals = (
  ask: Ask,
  reading: QuantityReading,
  spec: Readonly<Record<string, string>>,
): readonly Refusal[] => {
  const refuse = (what: string): readonly Refusal[] => [
    refusal('uncertainty', what, 'use a tool whose uncertainty is known and small enough'),
  ];
  const read = uncertaintyOf(spec, reading.unit);
  if (!read.ok) return refuse(read.fault.what);
  if (read.value === undefined)
    return refuse(`${reading.reading} is decided guarded, and the uncertainty of the tool is not known`);
  const value = quantityOf(reading, textOf(ask.data, 'value') ?? '');
  const limits = reading.limits && limitsNow(ask.job, reading.limits);
  const decided = value && limits ? decideGuarded(value, limits, read.value) : undefined;
  return decided && !decided.ok ? refuse(decided.fault.what) : [];
};

/** The individual tool of a value: as said, or the one in use for its kind; it must be of the kind and known. */
const toolAsked = (ask: Ask, kind: string | undefined): Outcome<string | undefined> => {
  const said = textOf(ask.data, 'tool');
  if (said === undefined) return ok(kind === undefined ? undefined : own(ask.job.tools, kind));
  const tool = own(ask.moment.around.tools, said);
  const known = Object.keys(ask.moment.around.tools);
  if (!tool) {
    return err(unknownId(`the build has no tool '${said}'`, said, known, 'enter it in build.yaml (tools)'));
  }
  return kind === undefined || tool.kind === kind
    ? ok(said)
    : err(usage('value-unreadable', `${said} is a ${tool.kind}, a ${kind} is wanted`, `name a ${kind}`));
};

export const toolFor = toolAsked;

const tried = (ask: Ask, slot: Slot, calculated: CalculatedBy | undefined, extra: Partial<Try>): Try => ({
  entry: '',
  at: ask.command.at,
  when: ask.when,
  by: ask.command.by,
  number: 0,
  n: slot.n,
  ...(slot.position === undefined ? {} : { position: slot.position }),
  value: textOf(ask.data, 'value') ?? '',
  ...(calculated === undefined ? {} : { calculated }),
  struck: [],
  ...extra,
});

/** The job as it would stand with one more try: how a verdict is told before the entry is written. */
const withTry = (job: JobState, reading: string, taken: Try): JobState => ({
  ...job,
  tries: { ...job.tries, [reading]: [...(own(job.tries, reading) ?? []), taken] },
});

export const decideRead = (ask: Ask): Outcome<Taken> => {
  const found = readingAsked(ask, textOf(ask.data, 'reading') ?? '');
  if (!found.ok) return found;
  const { step, reading } = found.value;
  const value = textOf(ask.data, 'value') ?? '';
  const calculated = calculatedOf(ask.data);
  const wrong = checkValue(reading, value) ?? (calculated && checkCalculated(reading, value, calculated));
  if (wrong) return err(wrong);
  const tool = toolAsked(ask, reading.tool);
  if (!tool.ok) return tool;
  const opening = openingRefusals(ask.job, step, ask.moment);
  const slot = slotAsked(ask, reading);
  if (!slot.ok) return opening.length > 0 ? settle(ask, step, opening) : slot;
  const isGuarded = reading.kind === 'quantity' && reading.guarded;
  const spec = isGuarded ? toolSpec(ask, tool.value) : {};
  const taken = tried(ask, slot.value, calculated, isGuarded ? { uncertainty: spec } : {});
  const job = withTry(ask.job, reading.reading, taken);
  const data = {
    n: slot.value.n,
    ...(slot.value.position === undefined ? {} : { position: slot.value.position }),
    ...(tool.value === undefined ? {} : { tool: tool.value }),
    ...(isGuarded ? { uncertainty: spec } : {}),
  };
  const refusals = [
    ...opening,
    ...performerRefusals(ask.moment),
    ...tryRefusals(ask, reading, slot.value),
    ...toolRefusals(ask.job, reading.tool, tool.value, ask.moment),
    ...(isGuarded ? guardRefusals(ask, reading, spec) : []),
  ];
  const worked = calculated && recalculate(calculated);
  return settle(ask, step, refusals, {
    data,
    verdict: verdictOfTry(job, reading, taken, ask.moment.around),
    told: worked?.ok ? [...worked.value.warnings] : [],
  });
};

const correctTry = (ask: Ask, reading: Reading, taken: Try): Outcome<Taken> => {
  const value = textOf(ask.data, 'value');
  if (value === undefined) return err(unreadable(`${reading.reading}: one value is wanted`, 'give the right value'));
  const wrong = checkValue(reading, value);
  if (wrong) return err(wrong);
  const { calculated: _typed, ...rest } = taken;
  const right = { ...rest, value };
  const tries = (own(ask.job.tries, reading.reading) ?? []).map((one) => (one === taken ? right : one));
  const job = { ...ask.job, tries: { ...ask.job.tries, [reading.reading]: tries } };
  return settle(ask, undefined, [], {
    data: { entry: taken.entry },
    verdict: verdictOfTry(job, reading, right, ask.moment.around),
    told: [`struck: ${taken.value}`],
  });
};

const correctBatch = (ask: Ask, batch: Batch): Outcome<Taken> => {
  const mix = batch.mixedTo ?? stepOf(ask.job.plan, batch.step)?.mix;
  const weights = { ...batch.weights, ...correctedFields({ data: ask.data }, mix?.ratio[0]?.part ?? '') };
  const read = mix && readWeights(mix, weights);
  if (!mix || !read || 'part' in read)
    return err(
      unreadable(
        `${batch.batch}: ${read && 'part' in read ? `${read.part} ${read.why}` : 'no such mix'}`,
        'give each part as value.PART',
      ),
    );
  const right = inRatio(mix, read.parts);
  return settle(ask, undefined, [], { data: { 'in-ratio': right }, verdict: right ? 'within' : 'outside' });
};

const latestOf = (ask: Ask, reading: Reading): Outcome<Try> => {
  const position = textOf(ask.data, 'position');
  const n = wholeOf(ask.data, 'n');
  const taken = currentTries(ask.job, reading.reading).findLast(
    (one) => (position === undefined || one.position === position) && (n === undefined || one.n === n),
  );
  return taken
    ? ok(taken)
    : err(usage('unknown-id', `${reading.reading} has no value to correct`, `enter it (read ${reading.reading})`));
};

/** A correction strikes any typed value, at any time, with a reason; a bare id means the reading's latest value. */
export const decideCorrect = (ask: Ask): Outcome<Taken> => {
  const target = textOf(ask.data, 'entry') ?? '';
  const byId = readingOf(ask.job.plan, target);
  if (byId) {
    const taken = latestOf(ask, byId.reading);
    return taken.ok ? correctTry(ask, byId.reading, taken.value) : taken;
  }
  for (const step of ask.job.plan.steps) {
    for (const reading of step.readings) {
      const taken = (own(ask.job.tries, reading.reading) ?? []).find((one) => one.entry === target);
      if (taken) return correctTry(ask, reading, taken);
    }
    const act = (own(ask.job.fasteners, step.step) ?? []).find((one) => one.entry === target);
    if (act && step.tighten) return correctFastener(ask, step.tighten, act);
  }
  const batch = ask.job.batches.find((one) => one.entry === target);
  if (batch) return correctBatch(ask, batch);
  const shop = ask.job.shop.find((one) => one.entry === target);
  if (shop) return settle(ask, undefined, []);
  const known = ask.job.plan.steps.flatMap((step) => step.readings.map((reading) => reading.reading));
  return err(
    unknownId(`no typed value '${target}' in this job`, target, known, 'name the entry as WRITER:SEQ, or the reading'),
  );
};

const fieldNames = { torque: 'torque', 'finger-tight': 'fingerTight', past: 'past', drag: 'drag' } as const;

const correctFastener = (
  ask: Ask,
  tighten: Parameters<typeof verdictOfFastener>[1],
  act: Parameters<typeof verdictOfFastener>[2],
): Outcome<Taken> => {
  const fields = correctedFields(
    { data: ask.data },
    act.torque !== undefined ? 'torque' : act.past !== undefined ? 'past' : 'finger-tight',
  );
  const right = { ...act };
  for (const [key, value] of Object.entries(fields)) {
    if (!Object.hasOwn(fieldNames, key))
      return err(unreadable(`a fastener has no '${key}'`, `one of: ${Object.keys(fieldNames).join(', ')}`));
    const parsed = parseQuantity(value);
    if (!parsed.ok && parsed.fault.code !== 'unit-missing') return parsed;
    right[fieldNames[key as keyof typeof fieldNames]] = value;
  }
  return settle(ask, undefined, [], { verdict: verdictOfFastener(ask.job, tighten, right) });
};

/** Shop conditions and temperatures: what cannot be read as what it should be is a usage fault, and so is what no thermometer shows. */
export const checkTemperature = (name: string, text: string | undefined): Fault | undefined => {
  if (text === undefined) return undefined;
  const read = temperatureOf(text);
  if (!read) return unreadable(`${name} '${text}' is not a temperature`, 'give it as 18.5 °C or 65 °F');
  return isWholeTicks(read.base)
    ? undefined
    : unreadable(`${name} '${text}' is finer than a thermometer shows`, 'give it as a decimal, as in 18.5 °C');
};
