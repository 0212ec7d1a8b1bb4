import { wetMixes } from '../../aircraft/status.ts';
import { own } from '../../fault/own.ts';
import { cureNow } from '../../job/cure.ts';
import { departureFor } from '../../job/departure.ts';
import { standingRelease, unanswered, wasInvited } from '../../job/hold.ts';
import { fastenerMissing, partsMissing, type MissingPart } from '../../job/parts.ts';
import { potLifeNow, type PotLifeNow } from '../../job/potlife.ts';
import type { JobState } from '../../job/state.ts';
import { latestTry, slotsOf } from '../../job/values.ts';
import { troublesOf } from '../../job/verdicts.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { currentStep, isClosed } from '../../job/where.ts';
import { commitsOf } from '../../procedure/ahead.ts';
import type { Reading, Step } from '../../procedure/model.ts';
import { readingOf } from '../../procedure/plan.ts';
import type { PartWanted } from '../parts/part.ts';
import { askPart } from '../parts/parts.ts';
import type { Placed } from '../placed.ts';
import { finishOf } from './finish.ts';
import type { Form } from './form.ts';
import { helpersForm, lotForm, shopForm, whichToolForm } from './gather-forms.ts';
import type { Prompt } from './prompt.ts';

/*
 * What a job wants now. Every rule of the bench about that is in this file, and in no other.
 */

/** The pot life that runs for glue which is still to be used. */
export const potLifeFor = ({ job, around, facts }: Placed): PotLifeNow | undefined =>
  isClosed(job) ? undefined : potLifeNow(job, wetMixes(job), around, facts.now.ms);

/** The pot life that is over, of glue still to be used, unless a departure has been entered for it. */
export const glueOver = (here: Placed): PotLifeNow | undefined => {
  const life = potLifeFor(here);
  const over = life !== undefined && life.ends < here.facts.now.ms;
  return over && !departureFor(here.job, 'pot-life-over', currentStep(here.job)) ? life : undefined;
};

/** How many more people a step needs than have been named. */
export const helpersFor = (job: JobState, step: Step): number => {
  const wet = step.mix ? job.plan.steps.filter((one) => one === step || one.inPotLifeOf.includes(step.step)) : [];
  const committed = wet.length > 0 || step.permanent;
  // The procedure's own number counts where something permanent begins; elsewhere only what the step itself says.
  const people = committed
    ? Math.max(...[step, ...wet].map((one) => one.people ?? job.plan.people))
    : (step.people ?? 1);
  return Math.max(0, people - 1 - job.helpers.length);
};

export const isParked = (job: JobState): boolean => {
  const park = job.parks.at(-1);
  return park !== undefined && park.ended === undefined;
};

const aside = (step: Step, form: Form): Prompt => ({ kind: 'question', step, form, beneath: 'title' });

const askHelpers = (job: JobState, step: Step, verb: 'begin' | 'finish'): Prompt | undefined => {
  const helpers = helpersFor(job, step);
  return helpers > 0 && step.people !== undefined
    ? { kind: 'question', step, form: helpersForm(job, step, helpers, verb), beneath: 'step' }
    : undefined;
};

/** Before anything of a step: the card where it commits to something permanent, else its helpers. */
const askOpening = (job: JobState, step: Step): Prompt | undefined => {
  if (stepStateOf(job, step.step).begun) return undefined;
  const commits = commitsOf(job.plan, step);
  const helpers = helpersFor(job, step);
  return commits.length > 0 || (step.mix && helpers > 0)
    ? { kind: 'card', step, commits, helpers }
    : askHelpers(job, step, 'begin');
};

/** Which tool it is, asked before its first value, where its date or its uncertainty counts and the build knows several or one. */
const askTool = (here: Placed, step: Step, kind: string | undefined, guarded: boolean): Prompt | undefined => {
  const { job, around } = here;
  if (kind === undefined || own(job.tools, kind) !== undefined) return undefined;
  const need = job.plan.gather.tools.find((one) => one.tool === kind);
  const known = Object.values(around.tools).filter((tool) => tool.kind === kind);
  if (known.length === 0 || !(need?.inDate || guarded)) return undefined;
  return aside(step, whichToolForm(job, kind, need, known));
};

/** A lot or the shop's state, asked before the cup is filled, where the procedure wants it and nothing is known. */
const askBeforeMix = (job: JobState, step: Step): Prompt | undefined => {
  const mix = step.mix;
  if (!mix) return undefined;
  const need = job.plan.gather.materials.find((one) => one.material === mix.material);
  const named = (part: string): boolean =>
    job.lots.some((lot) => lot.material === mix.material && (lot.part === undefined || lot.part === part));
  if ((need?.lot || need?.inDate) && !mix.ratio.every(({ part }) => named(part)))
    return aside(step, lotForm(job, mix.material, need));
  return job.plan.gather.shop && job.shop.length === 0 ? aside(step, shopForm(job)) : undefined;
};

const isGuarded = (reading: Reading): boolean => reading.kind === 'quantity' && reading.guarded;

/** What is asked before a part: its tool, its lots, the shop. */
const askBefore = (here: Placed, step: Step, wanted: PartWanted): Prompt | undefined => {
  if (wanted.part === 'reading') return askTool(here, step, wanted.reading.tool, isGuarded(wanted.reading));
  if (wanted.part === 'tighten') return askTool(here, step, wanted.tighten.tool, false);
  return wanted.part === 'mix' ? askBeforeMix(here.job, step) : undefined;
};

const readingWanted = (job: JobState, id: string): PartWanted | undefined => {
  const reading = readingOf(job.plan, id)?.reading;
  const slot = reading && slotsOf(reading).find((one) => latestTry(job, reading.reading, one) === undefined);
  return reading && slot && { part: 'reading', reading, slot };
};

const fastenerWanted = (job: JobState, step: Step, fastener: number): PartWanted | undefined => {
  if (!step.tighten) return undefined;
  const missing = fastenerMissing(job, step, fastener);
  return {
    part: 'tighten',
    tighten: step.tighten,
    fastener,
    markOnly: missing.length === 1 && missing[0] === 'mark',
  };
};

const breakWanted = (job: JobState, batch: string): PartWanted | undefined => {
  const sample = job.batches.find((one) => one.batch === batch)?.sample?.id;
  return sample === undefined ? undefined : { part: 'break', batch, sample };
};

/** The part that the engine misses, with what the bench needs to ask for it. Absent: nothing that can be entered would help. */
const partWanted = (job: JobState, step: Step, { part, id, what }: MissingPart): PartWanted | undefined => {
  const leave = step.loose.find(({ item }) => item === id);
  const photo = step.photos.find((one) => one.photo === id);
  const found: { readonly [P in MissingPart['part']]: () => PartWanted | undefined } = {
    reading: () => readingWanted(job, id),
    result: () => ({ part: 'result', what }),
    tighten: () => fastenerWanted(job, step, Number(id)),
    mix: () => step.mix && { part: 'mix', mix: step.mix },
    break: () => breakWanted(job, id),
    hold: () => undefined,
    invite: () => ({ part: 'hold', wants: 'invitation' }),
    loose: () => leave && { part: 'loose', leave },
    close: () => ({ part: 'loose', close: id }),
    photo: () => photo && { part: 'photo', photo },
  };
  return found[part]();
};

const askMissing = (here: Placed, step: Step, missing: MissingPart): Prompt => {
  const wanted = partWanted(here.job, step, missing);
  if (!wanted) return { kind: 'stuck', step, what: missing.what };
  return askBefore(here, step, wanted) ?? askPart(here.job, step, wanted);
};

/** A hold comes once the parts of its step are entered; findings are answered before the inspector looks again. */
const holdWanted = (job: JobState, step: Step): PartWanted | undefined => {
  if (!step.hold || standingRelease(job, step.step)) return undefined;
  const finding = unanswered(job, step.step)[0];
  if (finding) return { part: 'hold', wants: 'answer', finding };
  if (step.hold.kind === 'hold') return { part: 'hold', wants: 'release' };
  return wasInvited(job, step.step) ? { part: 'hold', wants: 'witness' } : undefined;
};

const cureWanted = ({ job, around, facts }: Placed, step: Step): PartWanted | undefined => {
  const now = cureNow(job, step, around, facts.now.ms);
  const stage = now?.stages.find((one) => one.stage === now.until);
  return now && !stage?.reached ? { part: 'cure' } : undefined;
};

/** What the open step wants, in the order in which a person would do it. */
const askStep = (here: Placed, step: Step): Prompt => {
  const { job } = here;
  const life = step.inPotLifeOf.length > 0 ? glueOver(here) : undefined;
  if (life) return { kind: 'over', step, life };
  const opening = askOpening(job, step);
  if (opening) return opening;
  const troubles = troublesOf(job, step);
  if (troubles.length > 0) return { kind: 'doors', step, troubles };
  const missing = partsMissing(job, step)[0];
  if (missing) return askMissing(here, step, missing);
  const later = holdWanted(job, step) ?? cureWanted(here, step);
  return later ? askPart(job, step, later) : (askHelpers(job, step, 'finish') ?? finishOf(step));
};

/** The one thing that a job wants now from whoever is at the bench. */
export const promptNow = (here: Placed): Prompt => {
  const { job } = here;
  if (isClosed(job)) return { kind: 'closed' };
  if (isParked(job)) return { kind: 'parked' };
  const step = currentStep(job);
  return step ? askStep(here, step) : { kind: 'complete' };
};
