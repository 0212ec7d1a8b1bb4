import { wetMixes } from '../../aircraft/status.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import { cureNow } from '../../job/cure.ts';
import { departureFor } from '../../job/departure.ts';
import { standingRelease, wasInvited } from '../../job/hold.ts';
import { fastenerMissing, partsMissing, type MissingPart } from '../../job/parts.ts';
import { potLifeNow, type PotLifeNow } from '../../job/potlife.ts';
import type { JobState } from '../../job/state.ts';
import { latestTry, slotsOf, type Slot } from '../../job/values.ts';
import { troublesOf, type Trouble } from '../../job/verdicts.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { currentStep, isClosed } from '../../job/where.ts';
import { commitsOf } from '../../procedure/ahead.ts';
import type { Reading, Step } from '../../procedure/model.ts';
import { readingOf } from '../../procedure/plan.ts';
import type { OwnKey } from '../keys.ts';
import type { Form } from './form.ts';
import { answerForm } from './hold.ts';
import * as forms from './part-forms.ts';
import { own } from '../../fault/own.ts';

/** What an open form is about, so that a screen can draw what belongs to it. */
export type Part =
  | { readonly part: 'reading'; readonly reading: Reading; readonly slot: Slot }
  | { readonly part: 'tighten'; readonly fastener: number }
  | { readonly part: 'mix' | 'cure' | 'helpers' | 'lot' | 'shop' | 'tool' | 'other' };

/** The one thing that a job wants next from whoever stands at the bench. */
export type Prompt =
  | { readonly kind: 'question'; readonly step: Step; readonly form: Form; readonly part: Part }
  /** A permanent step, before it: read, then begun with a key of its own. */
  | { readonly kind: 'card'; readonly step: Step; readonly commits: readonly Step[]; readonly helpers: number }
  | { readonly kind: 'mark'; readonly step: Step; readonly fastener: number }
  | { readonly kind: 'doors'; readonly step: Step; readonly troubles: readonly Trouble[] }
  | { readonly kind: 'hold'; readonly step: Step }
  | { readonly kind: 'witness'; readonly step: Step }
  | { readonly kind: 'finish'; readonly step: Step; readonly own: OwnKey | undefined }
  /** The glue for the open step is over its pot life: it is thrown away, or departed from on paper. */
  | { readonly kind: 'over'; readonly step: Step; readonly life: PotLifeNow }
  /** Nothing can be entered that would help: a result that cannot be calculated. */
  | { readonly kind: 'stuck'; readonly step: Step; readonly missing: MissingPart }
  | { readonly kind: 'parked' }
  | { readonly kind: 'complete' }
  | { readonly kind: 'closed' };

const firstSlot = (job: JobState, reading: Reading): Slot | undefined =>
  slotsOf(reading).find((slot) => latestTry(job, reading.reading, slot) === undefined);

/** Which tool it is, asked before its first value, where its date or its uncertainty counts and the build knows several or one. */
const askTool = (
  job: JobState,
  step: Step,
  kind: string | undefined,
  guarded: boolean,
  around: Surroundings,
): Prompt | undefined => {
  if (kind === undefined || own(job.tools, kind) !== undefined) return undefined;
  const need = job.plan.gather.tools.find((one) => one.tool === kind);
  const known = Object.values(around.tools).filter((tool) => tool.kind === kind);
  if (known.length === 0 || !(need?.inDate || guarded)) return undefined;
  return { kind: 'question', step, form: forms.whichToolForm(job, kind, need, known), part: { part: 'tool' } };
};

const askReading = (job: JobState, step: Step, id: string, around: Surroundings): Prompt | undefined => {
  const found = readingOf(job.plan, id);
  const slot = found && firstSlot(job, found.reading);
  if (!found || !slot) return undefined;
  const guarded = found.reading.kind === 'quantity' && found.reading.guarded;
  const tool = askTool(job, step, found.reading.tool, guarded, around);
  if (tool) return tool;
  return {
    kind: 'question',
    step,
    form: forms.readingForm(job, found.reading, slot),
    part: { part: 'reading', reading: found.reading, slot },
  };
};

const askFastener = (job: JobState, step: Step, fastener: number, around: Surroundings): Prompt | undefined => {
  const tool = askTool(job, step, step.tighten?.tool, false, around);
  if (tool) return tool;
  const missing = fastenerMissing(job, step, fastener);
  if (missing.length === 1 && missing[0] === 'mark') return { kind: 'mark', step, fastener };
  const form = forms.tightenForm(job, step, fastener);
  return form && { kind: 'question', step, form, part: { part: 'tighten', fastener } };
};

/** A lot or the shop's state is asked before the cup is filled, where the procedure wants it and nothing is known. */
const askBeforeMix = (job: JobState, step: Step): Prompt | undefined => {
  const mix = step.mix;
  if (!mix) return undefined;
  const need = job.plan.gather.materials.find((one) => one.material === mix.material);
  const named = (part: string): boolean =>
    job.lots.some((lot) => lot.material === mix.material && (lot.part === undefined || lot.part === part));
  if ((need?.lot || need?.inDate) && !mix.ratio.every(({ part }) => named(part)))
    return { kind: 'question', step, form: forms.lotForm(job, mix.material, need), part: { part: 'lot' } };
  if (job.plan.gather.shop && job.shop.length === 0)
    return { kind: 'question', step, form: forms.shopForm(job), part: { part: 'shop' } };
  return undefined;
};

const askMix = (job: JobState, step: Step): Prompt | undefined =>
  step.mix && {
    kind: 'question',
    step,
    form: forms.mixForm(job, step, step.mix),
    part: { part: 'mix' },
  };

const askPart = (job: JobState, step: Step, missing: MissingPart, around: Surroundings): Prompt => {
  const other = (form: Form | undefined): Prompt | undefined =>
    form && { kind: 'question', step, form, part: { part: 'other' } };
  const asked: Prompt | undefined = {
    reading: () => askReading(job, step, missing.id, around),
    result: () => undefined,
    tighten: () => askFastener(job, step, Number(missing.id), around),
    mix: () => askBeforeMix(job, step) ?? askMix(job, step),
    break: () => other(forms.breakForm(job, missing.id)),
    hold: () => undefined,
    invite: () => other(forms.inviteForm(job, step)),
    loose: () => other(forms.looseForm(job, step, missing.id)),
    close: () => other(forms.closeForm(job, missing.id)),
    photo: () => other(forms.photoForm(job, step, missing.id)),
  }[missing.part]();
  return asked ?? { kind: 'stuck', step, missing };
};

const askCure = (job: JobState, step: Step, around: Surroundings, ms: number): Prompt | undefined => {
  const now = cureNow(job, step, around, ms);
  const stage = now?.stages.find((one) => one.stage === now.until);
  if (!now || stage?.reached) return undefined;
  return { kind: 'question', step, form: forms.temperatureForm(job.id, step.place), part: { part: 'cure' } };
};

/** How many more people a step wants than have been named. */
export const helpersFor = (job: JobState, step: Step): number => {
  const wet = step.mix ? job.plan.steps.filter((one) => one === step || one.inPotLifeOf.includes(step.step)) : [];
  const committed = wet.length > 0 || step.permanent;
  // The procedure's own number counts where something permanent begins; elsewhere only what the step itself says.
  const people = committed
    ? Math.max(...[step, ...wet].map((one) => one.people ?? job.plan.people))
    : (step.people ?? 1);
  return Math.max(0, people - 1 - job.helpers.length);
};

const opening = (job: JobState, step: Step): Prompt | undefined => {
  if (stepStateOf(job, step.step).begun) return undefined;
  const commits = commitsOf(job.plan, step);
  const helpers = helpersFor(job, step);
  if (commits.length > 0 || (step.mix && helpers > 0)) return { kind: 'card', step, commits, helpers };
  return askHelpers(job, step, helpers, 'begin');
};

const askHelpers = (job: JobState, step: Step, helpers: number, verb: 'begin' | 'finish'): Prompt | undefined =>
  helpers > 0 && step.people !== undefined
    ? { kind: 'question', step, form: forms.helpersForm(job, step, helpers, verb), part: { part: 'helpers' } }
    : undefined;

/** A permanent or critical step never goes by the common key. */
const ownKeyOf = (step: Step): OwnKey | undefined => (step.permanent || step.critical ? 'finish' : undefined);

const askHold = (job: JobState, step: Step): Prompt | undefined => {
  if (!step.hold || standingRelease(job, step.step)) return undefined;
  const answer = answerForm(job, step);
  if (answer) return { kind: 'question', step, form: answer, part: { part: 'other' } };
  return step.hold.kind === 'hold'
    ? { kind: 'hold', step }
    : wasInvited(job, step.step)
      ? { kind: 'witness', step }
      : undefined;
};

/** The pot life that is over, of glue still to be used, unless a departure has been entered for it. */
export const glueOver = (job: JobState, around: Surroundings, ms: number): PotLifeNow | undefined => {
  const life = potLifeFor(job, around, ms);
  const over = life !== undefined && life.ends < ms;
  return over && !departureFor(job, 'pot-life-over', currentStep(job)) ? life : undefined;
};

/** What the open step wants, in the order in which a person would do it. */
const askStep = (job: JobState, step: Step, around: Surroundings, ms: number): Prompt => {
  const life = step.inPotLifeOf.length > 0 ? glueOver(job, around, ms) : undefined;
  if (life) return { kind: 'over', step, life };
  const begins = opening(job, step);
  if (begins) return begins;
  const troubles = troublesOf(job, step);
  if (troubles.length > 0) return { kind: 'doors', step, troubles };
  const missing = partsMissing(job, step)[0];
  if (missing) return askPart(job, step, missing, around);
  return (
    askHold(job, step) ??
    askCure(job, step, around, ms) ??
    askHelpers(job, step, helpersFor(job, step), 'finish') ?? { kind: 'finish', step, own: ownKeyOf(step) }
  );
};

export const isParked = (job: JobState): boolean => {
  const park = job.parks.at(-1);
  return park !== undefined && park.ended === undefined;
};

export const promptNow = (job: JobState, around: Surroundings, ms: number): Prompt => {
  if (isClosed(job)) return { kind: 'closed' };
  if (isParked(job)) return { kind: 'parked' };
  const step = currentStep(job);
  return step ? askStep(job, step, around, ms) : { kind: 'complete' };
};

/** The pot life that runs for glue which is still to be used. */
export const potLifeFor = (job: JobState, around: Surroundings, ms: number): PotLifeNow | undefined =>
  isClosed(job) ? undefined : potLifeNow(job, wetMixes(job), around, ms);
