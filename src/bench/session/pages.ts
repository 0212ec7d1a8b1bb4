import type { Pressed } from '../keys.ts';
import { editField, emptyField, fieldText, isEmpty, typeInto } from '../drawing/field.ts';
import { jobShown } from '../placed.ts';
import type { Startable, BenchFacts } from '../ports.ts';
import { pressCalculator, pressCalculators, targetOf } from './calculator.ts';
import { bounces, bouncesOn, commit } from './commit.ts';
import { jobsRows } from './jobs.ts';
import { menuItems, waysOut } from './menu.ts';
import type { MenuItem } from './menu/item.ts';
import { isInterrupted, lastSteps, openJob } from './open-job.ts';
import { openItem } from './open-item.ts';
import { pressForm } from './press-form.ts';
import { pressedDigit, pressList, scrolled } from './press-list.ts';
import {
  nothing,
  pop,
  popTo,
  push,
  replaceTop,
  untold,
  type Page,
  type Pages,
  type Session,
  type Turn,
} from './state.ts';

type Of<P extends Page['page']> = Pages[P];

const choose = (
  session: Session,
  page: Of<'menu'>,
  items: readonly MenuItem[],
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const chosen = pressList(page, items.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  const item = chosen && items[chosen.open];
  return item && openItem(session, facts, item.opens, ms);
};

const pressMenu = (session: Session, page: Of<'menu'>, key: Pressed, facts: BenchFacts, ms: number): Turn | undefined =>
  choose(session, page, menuItems(facts, page.group, jobShown(facts, page.job)), key, facts, ms);

/** The ways out of a refusal, of the job it was about. */
export const refusedItems = (facts: BenchFacts, page: Of<'refused'>): readonly MenuItem[] => {
  const job = jobShown(facts, page.act?.job);
  return job && page.fault.kind === 'refused' ? waysOut(facts, job, page.fault.code) : [];
};

const pressRefused = (
  session: Session,
  page: Of<'refused'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  if (bouncesOn(session, ms) && key.kind === 'act' && key.act === 'take') return nothing(session);
  const items = refusedItems(facts, page);
  if (items.length === 0 && key.kind === 'act' && key.act === 'take') return nothing(pop(session));
  const item = items[pressedDigit(key, items.length) ?? -1];
  return item && openItem(session, facts, item.opens, ms);
};

const pressJobs = (
  session: Session,
  page: Of<'jobs'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const rows = jobsRows(facts);
  const chosen = pressList(page, rows.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  if (!chosen) return undefined;
  // The enter that ended the last act must not open what happens to stand under the pointer.
  if (bounces(session, ms)) return nothing(session);
  const row = rows[chosen.open];
  if (row?.kind === 'job') return nothing(openJob(session, facts, row.job.id));
  if (row !== undefined && row.kind !== 'start') return openItem(untold(session), facts, row.item.opens, ms);
  return nothing(push(untold(session), { page: 'procedures', selected: 0, scroll: 0 }));
};

const pressProcedures = (
  session: Session,
  page: Of<'procedures'>,
  key: Pressed,
  facts: BenchFacts,
): Turn | undefined => {
  const chosen = pressList(page, facts.procedures.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  const found = chosen && facts.procedures[chosen.open];
  if (!found) return undefined;
  return nothing(
    found.procedure || !found.fault
      ? push(session, { page: 'start', procedure: found.id, scroll: 0 })
      : push(session, { page: 'refused', fault: found.fault, scroll: 0 }),
  );
};

/** The sides that can be started, or the one start of a procedure without sides. */
export const sidesOf = (found: Startable | undefined): readonly (string | undefined)[] =>
  found?.procedure && found.procedure.each.length > 0 ? found.procedure.each : [undefined];

const pressStart = (
  session: Session,
  page: Of<'start'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const sides = sidesOf(facts.procedures.find((one) => one.id === page.procedure));
  const sideless = sides.length === 1 && sides[0] === undefined;
  const chosen =
    sideless && key.kind === 'act' && key.act === 'take' ? 0 : sideless ? undefined : pressedDigit(key, sides.length);
  if (chosen === undefined) return undefined;
  const side = sides[chosen];
  const data = { procedure: page.procedure, ...(side === undefined ? {} : { each: side }) };
  return commit(session, { verb: 'start', job: '', by: session.by ?? '', data }, ms);
};

/** Coming back: a digit says that a step was looked at again; enter goes on. Nothing is reopened by it. */
const pressBack = (
  session: Session,
  page: Of<'back'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const job = jobShown(facts, page.job);
  if (!job) return nothing(pop(session));
  const steps = lastSteps(job);
  if (key.kind === 'act' && key.act === 'take') {
    if (page.ticked.length === 0 && !isInterrupted(job)) return nothing(pop(session));
    const data = page.ticked.length > 0 ? { rechecked: page.ticked } : {};
    return commit(session, { verb: 'resume', job: job.id, by: session.by ?? '', data }, ms);
  }
  const step = steps[pressedDigit(key, steps.length) ?? -1];
  if (step) {
    const ticked = page.ticked.includes(step.step)
      ? page.ticked.filter((id) => id !== step.step)
      : [...page.ticked, step.step];
    return nothing(replaceTop(session, { ...page, ticked }));
  }
  return undefined;
};

const pressFormPage = (
  session: Session,
  page: Of<'form'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const put = (filled: Of<'form'>['filled']): Session => replaceTop(session, { ...page, filled });
  const step = pressForm(session, page.form, page.filled, key, ms, put);
  if (step === 'back') return nothing(pop(session));
  if (step) return step;
  if (key.kind === 'typed' && key.text === ' ' && targetOf(session, facts))
    return nothing(push(session, { page: 'calculators', selected: 0, scroll: 0 }));
  const moved = scrolled(page, key);
  return moved && nothing(replaceTop(session, moved));
};

const pressPassphrase = (
  session: Session,
  page: Of<'passphrase'>,
  key: Pressed,
  _world: BenchFacts,
  ms: number,
): Turn | undefined => {
  const put = (field: typeof page.field): Turn => nothing(replaceTop(session, { ...page, field }));
  if (key.kind === 'typed') return put(typeInto(page.field, key.text));
  if (key.act === 'back') return isEmpty(page.field) ? nothing(pop(session)) : put(emptyField);
  if (key.act === 'take')
    return isEmpty(page.field)
      ? nothing(session)
      : commit(session, page.act, ms, { ...page.secrets, [page.person]: fieldText(page.field) });
  const edited = editField(page.field, key.act);
  return edited && put(edited);
};

const takesAway = (session: Session, _page: Page, key: Pressed): Turn | undefined =>
  key.kind === 'act' && key.act === 'take' ? nothing(pop(session)) : undefined;

const pressDone = (session: Session, _page: Page, key: Pressed, _world: BenchFacts, ms: number): Turn | undefined =>
  key.kind === 'act' && key.act === 'take' && !bounces(session, ms)
    ? nothing(untold(popTo(session, (page) => page.page === 'jobs')))
    : undefined;

type Pressable = Exclude<Page, Of<'walk' | 'first'>>;

const presses: {
  readonly [P in Pressable['page']]: (
    session: Session,
    page: Of<P>,
    key: Pressed,
    facts: BenchFacts,
    ms: number,
  ) => Turn | undefined;
} = {
  menu: pressMenu,
  calculators: pressCalculators,
  calculator: pressCalculator,
  refused: pressRefused,
  jobs: pressJobs,
  procedures: pressProcedures,
  start: pressStart,
  back: pressBack,
  form: pressFormPage,
  passphrase: pressPassphrase,
  done: pressDone,
  look: takesAway,
  cautions: takesAway,
};

/** One key on a page that is neither the first run nor a job being walked. */
export const pressPage = <P extends Pressable['page']>(
  session: Session,
  page: Of<P>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const press: (typeof presses)[P] = presses[page.page as P];
  return press(session, page, key, facts, ms);
};
