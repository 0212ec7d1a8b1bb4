import { isKey, type Pressed } from '../keys.ts';
import { editField, emptyField, fieldText, isEmpty, typeInto } from '../drawing/field.ts';
import type { BenchFacts } from '../ports.ts';
import { pressCalculator, pressCalculators } from './calculator.ts';
import { targetOf } from './calculator-target.ts';
import { bounces, commit } from './commit.ts';
import { pressForm } from './press-form.ts';
import { scrolled } from './press-list.ts';
import {
  nothing,
  pop,
  popTo,
  push,
  replaceTop,
  withoutAnswer,
  type Page,
  type Pages,
  type Session,
  type Turn,
} from './state.ts';
import { pressBack, pressJobs, pressProcedures, pressStart } from './press-jobs.ts';
import { pressMenu, pressRefused } from './press-menu.ts';

type Of<P extends Page['page']> = Pages[P];

const pressFormPage = (
  session: Session,
  page: Of<'form'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const put = (filled: Of<'form'>['filled']): Session => replaceTop(session, { ...page, filled });
  const step = pressForm(session, page.form, page.filled, key, facts, ms, put);
  if (step === 'back') return nothing(pop(session));
  if (step) return step;
  if (isKey(key, ' ') && targetOf(session, facts))
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

const closesAtEnter = (session: Session, _page: Page, key: Pressed): Turn | undefined =>
  key.kind === 'act' && key.act === 'take' ? nothing(pop(session)) : undefined;

const pressDone = (session: Session, _page: Page, key: Pressed, _world: BenchFacts, ms: number): Turn | undefined =>
  key.kind === 'act' && key.act === 'take' && !bounces(session, ms)
    ? nothing(withoutAnswer(popTo(session, (page) => page.page === 'jobs')))
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
  info: closesAtEnter,
  help: closesAtEnter,
  cautions: closesAtEnter,
};

/** One key on any page but the first run and the page of a job. */
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
