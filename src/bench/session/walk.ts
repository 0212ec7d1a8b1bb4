import type { Surroundings } from '../../job/surroundings.ts';
import type { JobState } from '../../job/state.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { currentStep, isClosed } from '../../job/where.ts';
import { aroundOf } from '../../aircraft/surroundings.ts';
import type { Step as JobStep } from '../../procedure/model.ts';
import type { Pressed } from '../keys.ts';
import { isEmpty } from '../drawing/field.ts';
import type { Act, BenchFacts } from '../ports.ts';
import { overItems } from './menu/glue.ts';
import { promptNow, isParked, potLifeFor, type Prompt } from './ask.ts';
import { bounces, bouncesOn, commit } from './commit.ts';
import { doors } from './doors.ts';
import {
  calculatedIn,
  formData,
  emptyFilled,
  isChoice,
  pressInForm,
  questionAt,
  type Answers,
  type Filled,
  type Form,
} from './form.ts';
import { holdItems, witnessItems } from './hold.ts';
import { helpersForm } from './part-forms.ts';
import type { MenuItem, Opens } from './menu/item.ts';
import { nothing, pop, push, replaceTop, untold, type Page, type Session, type Turn } from './state.ts';
import { jobIn } from '../../aircraft/jobs.ts';
import { own } from '../../fault/own.ts';

type WalkPage = Extract<Page, { page: 'walk' }>;

export const jobShown = (facts: BenchFacts, id: string | undefined): JobState | undefined =>
  id === undefined ? undefined : jobIn(facts.build.jobs, id);

/** What a job knows of its build, worked out once for each look at the build. */
export const aroundJob = (facts: BenchFacts, job: JobState): Surroundings => {
  const known = arounds.get(facts) ?? new Map<string, Surroundings>();
  arounds.set(facts, known);
  const around = known.get(job.id) ?? aroundOf(facts.build, job, facts.now.ms);
  known.set(job.id, around);
  return around;
};

const arounds = new WeakMap<BenchFacts, Map<string, Surroundings>>();

export const askFor = (facts: BenchFacts, job: JobState): Prompt => promptNow(job, aroundJob(facts, job), facts.now.ms);

/** What is typed for this form; where the page holds another form's, nothing yet. */
export const filledFor = (form: Form, filled: Filled | undefined): Filled =>
  filled?.key === form.key ? filled : emptyFilled(form.key);

/** The items that the open ask offers to choose from. */
export const askItems = (facts: BenchFacts, job: JobState, ask: Prompt): readonly MenuItem[] => {
  if (ask.kind === 'doors') {
    const trouble = ask.troubles[0];
    return trouble ? doors(facts, job, ask.step, trouble) : [];
  }
  if (ask.kind === 'hold') return holdItems(facts, job, ask.step);
  if (ask.kind === 'over') return overItems(job, ask.step);
  return ask.kind === 'witness' ? witnessItems(facts, job, ask.step) : [];
};

const textIn = (answers: Answers, name: string): string | undefined => {
  const answer = own(answers, name);
  return typeof answer === 'string' ? answer : undefined;
};

const signer = (session: Session, form: Form, answers: Answers): string => {
  return form.by ?? textIn(answers, 'by') ?? session.by ?? '';
};

const actOfForm = (session: Session, form: Form, filled: Filled, answers: Answers): Act => ({
  verb: form.verb,
  job: form.job,
  by: signer(session, form, answers),
  data: formData(form, answers, calculatedIn(filled, textIn(answers, 'value'))),
});

/** One key in a form that stands on a page; `put` puts what is filled in back on that page. `undefined`: the form has no use for the key. */
export const pressForm = (
  session: Session,
  form: Form,
  filled: Filled,
  key: Pressed,
  ms: number,
  put: (filled: Filled) => Session,
): Turn | 'back' | undefined => {
  const question = questionAt(form, filled);
  const bare = question !== undefined && (isChoice(question) || isEmpty(filled.field));
  if (bare && key.kind === 'typed' && key.text === ' ') return undefined;
  if (key.kind === 'act' && key.act === 'take') {
    const last = filled.at === form.questions.length - 1 && question?.kind !== 'lines';
    if (bare && bouncesOn(session, ms)) return nothing(session);
    if (last && (bounces(session, ms) || session.waiting)) return nothing(session);
  }
  const step = pressInForm(form, filled, key);
  if (step.kind === 'other') return undefined;
  if (step.kind === 'back') return 'back';
  if (step.kind === 'filled') {
    const next = put(step.filled);
    return nothing(step.advanced ? { ...untold(next), advanced: ms } : next);
  }
  return commit(put(step.filled), actOfForm(session, form, step.filled, step.answers), ms);
};

const ownAct = (session: Session, job: JobState, ms: number, verb: Act['verb'], data: Act['data']): Turn =>
  commit(session, { verb, job: job.id, by: session.by ?? '', data }, ms);

export const openForm = (session: Session, form: Form): Session =>
  push(untold(session), { page: 'form', form, filled: emptyFilled(form.key), scroll: 0 });

const pressOwn = (session: Session, job: JobState, ask: Prompt, key: Pressed, ms: number): Turn | undefined => {
  const pressedOwn = key.kind === 'typed' ? key.own : undefined;
  const take = key.kind === 'act' && key.act === 'take';
  if (ask.kind === 'card' && pressedOwn === 'begin') {
    if (bounces(session, ms)) return nothing(session);
    return ask.helpers > 0
      ? nothing(openForm(session, helpersForm(job, ask.step, ask.helpers, 'begin')))
      : ownAct(session, job, ms, 'begin', { step: ask.step.step });
  }
  if (ask.kind === 'mark' && pressedOwn === 'mark')
    return ownAct(session, job, ms, 'tighten', { step: ask.step.step, fastener: ask.fastener, mark: true });
  if (ask.kind === 'finish' && (ask.own ? pressedOwn === 'finish' : take))
    return ownAct(session, job, ms, 'finish', { step: ask.step.step });
  if (ask.kind === 'complete' && take) return ownAct(session, job, ms, 'complete', {});
  if (ask.kind === 'parked' && take)
    return nothing(
      openForm(session, {
        key: `unpark ${job.id}`,
        title: 'Take the job up again',
        about: [],
        verb: 'unpark',
        job: job.id,
        fixed: {},
        questions: [{ name: 'arrived', ask: 'What has come', kind: 'text', required: false }],
      }),
    );
  return undefined;
};

export const scrolled = <T extends Page>(page: T, key: Pressed): T | undefined => {
  const by = key.kind === 'act' ? { up: -1, down: 1, 'page-up': -5, 'page-down': 5 }[key.act as string] : undefined;
  return by === undefined ? undefined : { ...page, scroll: Math.max(0, page.scroll + by) };
};

/** The item that a digit chooses. Where an item would commit to something, digits alone choose: enter has no first choice to fall on. */
export const pressedDigit = (key: Pressed, count: number): number | undefined =>
  key.kind === 'typed' && key.digit !== undefined && key.digit >= 1 && key.digit <= Math.min(9, count)
    ? key.digit - 1
    : undefined;

/** A list on a page: arrows move, a digit chooses and opens, enter opens. */
export const pressList = <T extends { readonly selected: number }>(
  page: T,
  count: number,
  key: Pressed,
): { readonly page: T } | { readonly open: number } | undefined => {
  if (key.kind === 'typed') {
    const digit = pressedDigit(key, count);
    return digit === undefined ? undefined : { open: digit };
  }
  const by = { up: -1, down: 1, 'page-up': -5, 'page-down': 5 }[key.act as string];
  if (by !== undefined && count > 0)
    return { page: { ...page, selected: Math.min(Math.max(0, page.selected + by), count - 1) } };
  return key.act === 'take' && count > 0 ? { open: Math.min(page.selected, count - 1) } : undefined;
};

type OpenItem = (session: Session, facts: BenchFacts, opens: Opens, ms: number) => Turn;

/** One key while a job is walked; what is left over goes to the keys that every page has. */
export const pressWalk = (
  session: Session,
  page: WalkPage,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
  open: OpenItem,
): Turn | undefined => {
  const job = jobShown(facts, page.job);
  if (!job) return nothing(pop(session));
  const ask = askFor(facts, job);
  if (ask.kind === 'question') {
    const put = (filled: Filled): Session => replaceTop(session, { ...page, filled });
    const step = pressForm(session, ask.form, filledFor(ask.form, page.filled), key, ms, put);
    if (step === 'back') return undefined;
    if (step) return step;
  }
  const done = pressOwn(session, job, ask, key, ms);
  if (done) return done;
  const items = askItems(facts, job, ask);
  const item = items[pressedDigit(key, items.length) ?? -1];
  if (item) return bounces(session, ms) ? nothing(session) : open(session, facts, item.opens, ms);
  const moved = scrolled(page, key);
  return moved && nothing(replaceTop(session, moved));
};

/** The last three steps that were finished, newest first: what is looked at again after an interruption. */
export const lastSteps = (job: JobState): readonly JobStep[] =>
  job.plan.steps
    .filter((step) => stepStateOf(job, step.step).finished !== undefined)
    .slice(-3)
    .toReversed();

export const isInterrupted = (job: JobState): boolean => {
  const last = job.interruptions.at(-1);
  return last !== undefined && last.resumed === undefined;
};

/** Coming back is asked once, where there is something to look at again, and never while a pot life runs. */
const asksBack = (session: Session, facts: BenchFacts, job: JobState): boolean =>
  !session.opened.includes(job.id) &&
  !isClosed(job) &&
  currentStep(job) !== undefined &&
  !isParked(job) &&
  (lastSteps(job).length > 0 || isInterrupted(job)) &&
  potLifeFor(job, aroundJob(facts, job), facts.now.ms) === undefined;

export const openJob = (session: Session, facts: BenchFacts, id: string): Session => {
  const job = jobShown(facts, id);
  if (!job) return session;
  const walk = push(untold(session), { page: 'walk', job: id, scroll: 0 });
  const opened = { ...walk, opened: [...new Set([...session.opened, id])] };
  return asksBack(session, facts, job) ? push(opened, { page: 'back', job: id, ticked: [], scroll: 0 }) : opened;
};
