import type { Draft } from 'immer';
import { err, ok, refusal, usage, type Fault, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { Step, Tighten } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { pendingOf } from '../breach.ts';
import type { AskedOf } from '../entry.ts';
import { drawer, perform, stampOf, touch } from '../draft.ts';
import { fastenerMissing } from '../parts/tighten.ts';
import { dimensionFault } from '../reading-value.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { toolRefusals } from '../refusals/tools.ts';
import { pendingRefusals } from '../refusals/values.ts';
import type { FastenerAct, JobState } from '../state.ts';
import { toolAsked } from '../tool-asked.ts';
import { currentActs, fastenerNow, hasValue, overTightened, verdictOfFastener } from '../parts/tighten.ts';
import { fastenerTorqueNow, wrenchLimits } from '../parts/wrench.ts';
import { nothingOpen, takeUnless, stepNamed, type Act, type Foreseen, type Intended } from './act.ts';
import { correctsItem } from './correctable.ts';

/** The values of one fastener, by their names in the journal and in the code. */
const valueNames = { torque: 'torque', drag: 'drag', 'finger-tight': 'fingerTight', past: 'past' } as const;

type ValueName = keyof typeof valueNames;
type Values = Pick<FastenerAct, (typeof valueNames)[ValueName]>;
type Given = Pick<AskedOf<'tighten'>, ValueName | 'fastener' | 'mark'>;

const valuesOf = (data: Partial<Pick<Given, ValueName>>): Values =>
  Object.fromEntries(
    (Object.keys(valueNames) as ValueName[]).flatMap((name) => {
      const value = data[name];
      return value === undefined ? [] : [[valueNames[name], value]];
    }),
  );

const unitOfTorque = ({ torque }: Tighten): string => {
  const base = (torque?.low ?? torque?.high)?.base;
  return base && 'unit' in base ? base.unit.name : 'N·m';
};

/** Checks which values an act gives against those that the step asks for. An act without a value and without a mark is a usage fault. */
const fastenerFault = (step: Step, tightenAct: Tighten, given: Given): Fault | undefined => {
  const { fastener, torque, drag, 'finger-tight': fingerTight, past, mark } = given;
  const hasTurns = fingerTight !== undefined || past !== undefined;
  if (fastener < 1 || fastener > tightenAct.fasteners)
    return usage('unknown-id', `${step.step} has no fastener ${fastener}`, `give 1 to ${tightenAct.fasteners}`);
  if (tightenAct.torque && hasTurns)
    return usage('field-unknown', `${step.step} is tightened by torque`, 'give torque');
  if (!tightenAct.torque && torque !== undefined)
    return usage(
      'field-unknown',
      `${step.step} is tightened by turns`,
      "give finger-tight and past, the part's own method",
    );
  if (torque === undefined && !hasTurns && mark !== true)
    return usage(
      'field-missing',
      `fastener ${fastener}: no value and no mark`,
      tightenAct.torque ? 'give torque' : 'give finger-tight or past',
    );
  if (torque !== undefined && tightenAct.drag === 'measured' && drag === undefined)
    return usage('field-missing', `fastener ${fastener}: drag is missing`, 'give the drag as the wrench showed it');
  return (
    dimensionFault('torque', torque, unitOfTorque(tightenAct)) ??
    dimensionFault('drag', drag, unitOfTorque(tightenAct)) ??
    dimensionFault('finger-tight', fingerTight, 'turns') ??
    dimensionFault('past', past, 'turns')
  );
};

/** Fasteners go in the procedure's order: only the next one, or one that has been begun. @param fastener counted from 1. */
const orderOfFasteners = (job: JobState, step: Step, tighten: Tighten, fastener: number): readonly Refusal[] => {
  if (fastenerNow(job, step.step, fastener)) return [];
  const next = tighten.order.find((one) => fastenerMissing(job, step, one).some((missing) => missing !== 'mark'));
  return next === undefined || next === fastener
    ? []
    : [
        refusal(
          'out-of-order',
          `fastener ${next} comes next, not ${fastener}`,
          `the order is ${tighten.order.join(', ')}`,
        ),
      ];
};

/** The values of a fastener of which each further one is another try. The drag is measured anew with each torque. */
const triedNames = ['torque', 'finger-tight', 'past'] as const;

/**
 * A fastener is a reading in this respect: another try needs its reason, one above its upper limit a disposition first, and the tries may be
 * counted.
 */
const fastenerTries = (
  { job, data, open }: Intended<'tighten'>,
  step: Step,
  tighten: Tighten,
  fastener: number,
): readonly Refusal[] => {
  const acts = currentActs(job, step.step, fastener);
  const given = triedNames.filter((name) => data[name] !== undefined || open.has(name));
  const triesOf = (name: (typeof triedNames)[number]): readonly FastenerAct[] =>
    acts.filter((act) => act[valueNames[name]] !== undefined);
  const again = given.filter((name) => triesOf(name).length > 0);
  const over = again.length > 0 ? overTightened(job, step, tighten, fastener) : undefined;
  const before = again.map((name) => `${name} ${triesOf(name).at(-1)?.[valueNames[name]] ?? ''}`).join(', ');
  return [
    ...pendingRefusals(job, `fastener ${fastener} of ${step.step}`, given.length > 0 ? acts : []),
    ...(over === undefined
      ? []
      : [
          refusal(
            'outside',
            `${over}, above its limit`,
            `dispose of it before another try (dispose ${step.step} fastener=${fastener}): rework, repair, use-as-is or scrap`,
          ),
        ]),
    ...(again.length > 0 &&
    over === undefined &&
    data.reason === undefined &&
    data.done === undefined &&
    !open.has('reason')
      ? [
          refusal(
            'reason-missing',
            `fastener ${fastener} of ${step.step} already has its value, ${before}`,
            'say why it is tightened again (reason), or correct a typing slip (correct)',
          ),
        ]
      : []),
    ...(tighten.tries !== undefined && again.some((name) => triesOf(name).length >= (tighten.tries ?? 0))
      ? [
          refusal(
            'tries-used',
            `fastener ${fastener} may be tried ${tighten.tries} times, and was`,
            'dispose: rework, repair, use-as-is, scrap or ask',
          ),
        ]
      : []),
  ];
};

const told = (job: JobState, tighten: Tighten, values: Values): readonly string[] => {
  const at = fastenerTorqueNow(job, tighten, values);
  const limits = wrenchLimits(job, tighten, values);
  if (!at || !limits) return [];
  const ends = [limits.low?.at, limits.high?.at].flatMap((end) => (end ? [printQuantity(end)] : []));
  return [`the wrench must show ${ends.join(' to ')}; at the fastener ${printQuantity(at)}`];
};

/** The value that a bare correction means: the torque, or the turns. */
const mainValue = (act: Values): ValueName => {
  if (act.torque !== undefined) return 'torque';
  if (act.past !== undefined) return 'past';
  return act.fingerTight === undefined ? 'drag' : 'finger-tight';
};

/** Corrects the values of one fastener. Each is read again as it was when it was entered. */
const correctedTighten = correctsItem<'tighten', FastenerAct>(
  {
    items: ({ fasteners }) => Object.values(fasteners).flat(),
    names: { ...valueNames, tool: 'tool', mark: 'mark' },
    steps: ({ entry }, { fasteners }) =>
      Object.entries(fasteners).flatMap(([step, acts]) => (acts.some((one) => one.entry === entry) ? [step] : [])),
  },
  {
    bare: (was) => mainValue(valuesOf(was)),
    otherwise: 'tighten the right fastener, and correct this one to what it was pulled to',
    judge: ({ job, moment }, { target, now }) => {
      const [id = ''] =
        Object.entries(job.fasteners).find(([, acts]) => acts.some((one) => one.entry === target)) ?? [];
      const act = own(job.fasteners, id)?.find((one) => one.entry === target);
      const step = stepOf(job.plan, id);
      if (!act || !step?.tighten) return ok({});
      // A mark that was entered by mistake is taken away, and nothing need be left of the entry.
      const { tool: _tool, ...given } = now;
      const fault = fastenerFault(step, step.tighten, { ...given, fastener: act.fastener, mark: true });
      const tool = toolAsked(job, moment.around, step.tighten.tool, now.tool);
      if (fault) return err(fault);
      if (!tool.ok) return tool;
      return ok({ verdict: verdictOfFastener(job, step.tighten, valuesOf(now)) });
    },
    after: (draft, { target, now }) => {
      const act = Object.values(draft.fasteners)
        .flat()
        .find((one) => one.entry === target);
      if (act) act.mark = now.mark === true;
    },
  },
);

const foresee = (intended: Intended<'tighten'>): Foreseen => {
  const { job, moment, data, open } = intended;
  const step = stepOf(job.plan, data.step ?? '');
  const part = step?.tighten;
  if (!step || !part || data.fastener === undefined) return { step, refusals: [] };
  const tool = toolAsked(job, moment.around, part.tool, data.tool);
  const isValue = data.torque !== undefined || open.has('torque');
  return {
    step,
    refusals: [
      ...openingRefusals(job, step, moment),
      ...performerRefusals(moment),
      ...orderOfFasteners(job, step, part, data.fastener),
      ...fastenerTries(intended, step, part, data.fastener),
      ...(isValue && tool.ok ? toolRefusals(job, part.tool, tool.value, moment) : []),
    ],
  };
};

/** Tightens one fastener: records its value, its mark, or both. */
export const tighten: Act<'tighten'> = {
  foresee,
  decide: (ask) => {
    const { job, data, moment } = ask;
    const found = stepNamed(ask, data.step);
    if (!found.ok) return found;
    const step = found.value;
    const part = step.tighten;
    if (!part) return err(usage('unknown-id', `${step.step} has nothing to tighten`, 'look at the step again'));
    const fault = fastenerFault(step, part, data);
    if (fault) return err(fault);
    const tool = toolAsked(job, moment.around, part.tool, data.tool);
    if (!tool.ok) return tool;
    const isValue = data.torque !== undefined;
    return takeUnless(ask, step, foresee({ ...ask, open: nothingOpen }).refusals, {
      data: isValue && tool.value !== undefined ? { tool: tool.value } : {},
      verdict: verdictOfFastener(job, part, valuesOf(data)),
      told: told(job, part, valuesOf(data)),
    });
  },
  evolve: (draft, entry) => {
    const { step, fastener, mark = false, tool, done } = entry.data;
    const isAgain = (own(draft.fasteners, step) ?? []).some((one) => one.fastener === fastener && hasValue(one));
    const reason = entry.data.reason ?? (isAgain ? done : undefined);
    const act: FastenerAct = {
      ...stampOf(entry),
      ...pendingOf(entry),
      fastener,
      mark,
      ...valuesOf(entry.data),
      ...(reason === undefined ? {} : { reason }),
      ...(tool === undefined ? {} : { tool }),
    };
    drawer(draft.fasteners, step, () => []).push(act as Draft<FastenerAct>);
    perform(draft, step, entry);
    touch(draft, step, entry);
  },
  words: (data) => {
    const values = (['drag', 'torque', 'finger-tight', 'past'] as const).flatMap((name) =>
      data[name] === undefined ? [] : [`${name} ${data[name]}`],
    );
    return values.length > 0
      ? `fastener ${data.fastener}, ${values.join(', ')}`
      : `the mark is on fastener ${data.fastener}`;
  },
  correct: correctedTighten,
};
