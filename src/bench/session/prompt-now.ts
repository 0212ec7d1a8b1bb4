import { memoised } from '../../fault/memo.ts';
import { wantsAtCompletion } from '../../job/next/gather.ts';
import type { Want, WantOf } from '../../job/next/want.ts';
import { twinsApart } from '../../job/parts/twin.ts';
import { isOver, isParked } from '../../job/where.ts';
import type { Step } from '../../procedure/model.ts';
import { askPart, benchParts } from '../parts/parts.ts';
import type { JobNow } from '../job-now.ts';
import { beginHeld, formRefusals } from './ahead.ts';
import { stepsNow } from '../steps-now.ts';
import { finishOf } from './finish.ts';
import type { Form } from './form.ts';
import { helpersForm, lotForm, partForm, shopForm, whichToolForm } from './gather-forms.ts';
import type { Prompt } from './prompt.ts';

const aside = (step: Step, form: Form): Prompt => ({ kind: 'question', step, form, beneath: 'title' });

/** How many more helpers the open step needs before it begins or is finished. */
export const helpersWanted = (here: JobNow): number => {
  const helpers = here.wants().find((one) => one.want === 'helpers');
  return helpers ? helpers.needed - helpers.named : 0;
};

const askTool = ({ job, around }: JobNow, step: Step, kind: string): Prompt => {
  const need = job.plan.gather.tools.find((one) => one.tool === kind);
  const known = Object.values(around.tools).filter((tool) => tool.kind === kind);
  return aside(step, whichToolForm(job, kind, need, known));
};

const askLot = ({ job }: JobNow, step: Step, material: string): Prompt => {
  const need = job.plan.gather.materials.find((one) => one.material === material);
  return aside(step, lotForm(job, material, need));
};

/** How each thing that a step can want is asked for. */
const asked: { readonly [W in Want['want']]: (here: JobNow, step: Step, want: WantOf<W>) => Prompt } = {
  barred: (_here, step, { refusals }) => ({ kind: 'barred', step, refusals }),
  'fresh-glue': (_here, step, { life }) => ({ kind: 'over', step, life }),
  begin: (here, step, { commits }) => {
    const refused = beginHeld(here, step);
    return { kind: 'card', step, commits, helpers: helpersWanted(here), ...(refused ? { refused } : {}) };
  },
  helpers: ({ job }, step, { needed, named, at }) => ({
    kind: 'question',
    step,
    form: helpersForm(job, step, needed - named, at),
    beneath: 'step',
  }),
  trouble: (_here, step, { troubles }) => ({ kind: 'doors', step, troubles }),
  tool: (here, step, { kind }) => askTool(here, step, kind),
  lot: (here, step, { material }) => askLot(here, step, material),
  serial: ({ job }, step, { part }) => aside(step, partForm(job, part)),
  shop: ({ job }, step, { unknown }) => aside(step, shopForm(job, unknown)),
  part: (here, step, { wanted }) => askPart(here, step, wanted),
  look: ({ job, around }, step, want) => benchParts.hold.ask(job, step, want, around),
  cure: ({ job, around }, step, want) => benchParts.cure.ask(job, step, want, around),
  wait: ({ job, around }, step, want) => benchParts.wait.ask(job, step, want, around),
};

const askFor = <W extends Want['want']>(here: JobNow, step: Step, want: WantOf<W>): Prompt => {
  const ask: (typeof asked)[W] = asked[want.want as W];
  return ask(here, step, want);
};

/** Lots and serial numbers that no step asked for are asked for before the job is completed. */
const completing = (here: JobNow): Prompt => {
  const [owed] = wantsAtCompletion(here.job);
  const last = here.job.plan.steps.at(-1);
  return owed && last ? askFor(here, last, owed) : { kind: 'complete' };
};

/** A question is asked only where its act would not be refused whatever is answered. */
const unlessRefused = (here: JobNow, prompt: Prompt): Prompt => {
  if (prompt.kind !== 'question') return prompt;
  const refusals = formRefusals(here, prompt.form);
  return refusals.length === 0 ? prompt : { kind: 'refused', step: prompt.step, form: prompt.form, refusals };
};

/** The one thing that a job wants now from whoever is at the bench: the first of what the engine says that its open step wants. */
export const promptNow = memoised((here: JobNow): Prompt => {
  const { job } = here;
  if (isOver(job)) return { kind: 'closed' };
  if (isParked(job)) return { kind: 'parked' };
  const step = stepsNow(job).open;
  if (!step) return completing(here);
  const [first] = here.wants();
  if (first) return unlessRefused(here, askFor(here, step, first));
  return twinsApart(job, step.step, here.around).length > 0 ? { kind: 'twins', step } : finishOf(step);
});
