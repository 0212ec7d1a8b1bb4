import { firstRefusal, type RefusalCode } from '../../fault/codes.ts';
import { own } from '../../fault/own.ts';
import type { Fault, Refusal } from '../../fault/fault.ts';
import { isOffered } from '../../job/breach.ts';
import { refusedAhead } from '../../job/foresee.ts';
import type { Want } from '../../job/next/want.ts';
import type { JobState } from '../../job/state.ts';
import { isJobVerb } from '../../job/verbs.ts';
import type { Step } from '../../procedure/model.ts';
import { jobById, jobNow, type JobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import type { Answers, Form } from './form.ts';
import { formData } from './form-data.ts';
import type { HeldAct } from './prompt.ts';

const fieldOf = (name: string): string => name.split(/[.#]/)[0] ?? name;

/**
 * True for a form that writes down what was done already, or throws a cup away: no rule is asked about the act itself. Nor is one asked
 * before it is known when the act happened.
 */
const isWrittenDown = ({ questions, fixed }: Form): boolean =>
  questions.some(({ name }) => name === 'done' || name === 'when') || 'done' in fixed || fixed['discarded'] === true;

/**
 * What would refuse a form's act now, whatever its remaining questions are answered. The engine decides; the bench only knows which
 * questions are still open.
 * @param from the first question that is still open.
 */
export const formRefusals = (
  { job, moment, facts }: Pick<JobNow, 'job' | 'moment' | 'facts'>,
  form: Form,
  answers: Answers = {},
  from = 0,
): readonly Refusal[] => {
  if (!isJobVerb(form.verb) || form.job !== job.id || isWrittenDown(form)) return [];
  const open = new Set(form.questions.slice(from).map(({ name }) => fieldOf(name)));
  const signs = own(answers, 'by');
  const by = form.by ?? (typeof signs === 'string' ? signs : facts.by) ?? '';
  // Who signs is asked when somebody enters something, so nobody is refused for not being signed on.
  const asker = by === '' ? new Set([...open, 'by']) : open;
  const refused = refusedAhead(job, { verb: form.verb, data: formData(form, answers), open: asker }, { ...moment, by });
  return by === '' ? refused.filter(({ code }) => code !== 'power') : refused;
};

/** The refusal that is shown first, and whether its act may be written down as done all the same. */
export const refusalShown = (form: Form, step: Step | undefined, refusals: readonly Refusal[]): Fault | undefined => {
  const first = firstRefusal(refusals);
  const codes = refusals.map(({ code }) => code);
  return first && isJobVerb(form.verb) && isOffered(form.verb, step, codes) ? { ...first, mayBeDone: true } : first;
};

/** The refusal of a form in the job that it belongs to; `undefined` where nothing refuses it, or it belongs to the build. */
export const refusedNow = (facts: BenchFacts, form: Form, answers: Answers = {}, from = 0): Fault | undefined => {
  const job: JobState | undefined = jobById(facts, form.job);
  return job && refusalShown(form, undefined, formRefusals(jobNow(facts, job), form, answers, from));
};

/** What is asked for after a card and before its mix, by the refusal that asking for it prevents. */
const askedNext: Readonly<Partial<Record<Want['want'], RefusalCode>>> = {
  lot: 'lot-missing',
  serial: 'serial-missing',
  tool: 'tool-out-of-date',
  shop: 'shop-outside',
};

/**
 * What would refuse the beginning of a step, or the mix that it begins with, so that nobody mixes glue for nothing. Helpers are named with
 * the beginning; what else is asked for next refuses nothing yet.
 */
export const beginHeld = (here: JobNow, step: Step): HeldAct | undefined => {
  const { job, moment, facts } = here;
  const { by = '' } = facts;
  const data = { step: step.step, ...(step.mix ? { weights: {} } : {}) };
  const coming = { verb: step.mix ? 'mix' : 'begin', data, open: new Set(['with', 'weights']) } as const;
  const asked = new Set(step.mix ? here.wants().map(({ want }) => askedNext[want]) : []);
  const held = refusedAhead(job, coming, moment).filter(
    ({ code }) => !asked.has(code) && (by !== '' || code !== 'power'),
  );
  const fault = firstRefusal(held);
  return fault && { fault, act: { verb: 'begin', job: job.id, by, data: { step: step.step } } };
};
