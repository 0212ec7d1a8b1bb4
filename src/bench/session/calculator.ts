import { own } from '../../fault/own.ts';
import type { Outcome } from '../../fault/fault.ts';
import type { Unit } from '../../quantity/units.ts';
import type { Calculation, NamedResult } from '../../trade/calculation.ts';
import { calculate, findCalculation, type CalculationResult } from '../../trade/calculations.ts';
import { calculationsFor } from '../../trade/gives.ts';
import { inputFault } from '../../trade/inputs.ts';
import { isKey, type Pressed } from '../keys.ts';
import { fieldOf, isEmpty } from '../drawing/field.ts';
import type { BenchFacts } from '../ports.ts';
import { inputValue, inputsOf, questionsOf } from './calculator-inputs.ts';
import { asValue, handedBack, targetOf, type ReturnTarget } from './calculator-target.ts';
import { bouncesOn } from './commit.ts';
import { emptyFilled, questionAt, type Filled, type Questions } from './form.ts';
import { pressInForm, toQuestion } from './press-in-form.ts';
import { pressedDigit, pressList, scrolled } from './press-list.ts';
import { nothing, pop, push, replaceTop, type Page, type Pages, type Session, type Turn } from './state.ts';

/** The outcome of the page's calculation, once all its inputs are typed. */
export const pageResult = (page: Pages['calculator']): Outcome<CalculationResult> | undefined =>
  page.inputs && calculate(page.calculation, page.inputs);

const handBack = (
  session: Session,
  to: ReturnTarget,
  page: Pages['calculator'],
  done: CalculationResult,
  result: NamedResult,
): Turn => {
  const base: Session = { ...session, pages: session.pages.slice(0, to.at + 1) };
  const beneath = base.pages[to.at];
  if (beneath?.page !== 'walk' && beneath?.page !== 'form') return nothing(session);
  const value = asValue(result, to);
  const by = {
    calculation: page.calculation,
    ...(result === done.results[0] ? {} : { result: result.name }),
    with: page.inputs ?? {},
  };
  const { fault: _fault, ...before } = to.filled;
  const filled: Filled = { ...before, field: fieldOf(value), calculated: { value, by } };
  return nothing(replaceTop(base, { ...beneath, filled }));
};

export const pressCalculators = (
  session: Session,
  page: Pages['calculators'],
  key: Pressed,
  facts: BenchFacts,
): Turn | undefined => {
  const list = calculationsFor(targetOf(session, facts)?.unit.dimension);
  const chosen = pressList(page, list.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  const found = chosen && list[chosen.open];
  if (!found) return undefined;
  const next: Page = {
    page: 'calculator',
    calculation: found.name,
    filled: emptyFilled(`calculate ${found.name}`),
    scroll: 0,
  };
  return nothing(push(replaceTop(session, { ...page, selected: chosen.open }), next));
};

const calculated = (session: Session, page: Pages['calculator'], form: Questions, filled: Filled, ms: number): Turn => {
  const inputs = inputsOf(form, filled.answers);
  const done = calculate(page.calculation, inputs);
  if (done.ok) return nothing({ ...replaceTop(session, { ...page, filled, inputs, scroll: 0 }), advanced: ms });
  const { where } = done.fault;
  const about = form.questions.findIndex(({ name }) => name === where);
  const at = about === -1 ? filled.at : about;
  const answer = own(filled.answers, form.questions[at]?.name ?? '');
  const field = typeof answer === 'string' ? fieldOf(answer) : filled.field;
  return nothing(replaceTop(session, { ...page, filled: { ...filled, at, field, fault: done.fault } }));
};

const pressInputs = (
  session: Session,
  page: Pages['calculator'],
  calculation: Calculation,
  asked: Unit | undefined,
  key: Pressed,
  ms: number,
): Turn | undefined => {
  const form = questionsOf(calculation, asked, page.filled.answers);
  const question = questionAt(form, page.filled);
  const empty = isEmpty(page.filled.field);
  if (empty && isKey(key, ' ')) return nothing(session);
  if (empty && isKey(key, '?')) return undefined;
  if (empty && key.kind === 'act' && key.act === 'take' && bouncesOn(session, ms)) return nothing(session);
  const step = pressInForm(form, page.filled, key);
  if (step.kind === 'back') return nothing(pop(session));
  if (step.kind === 'other') return undefined;
  const input = question && inputValue(question, step.filled.answers);
  const taken = step.kind === 'whole' || step.advanced;
  const fault = taken && question && input !== undefined ? inputFault(calculation, question.name, input) : undefined;
  if (fault) return nothing(replaceTop(session, { ...page, filled: { ...page.filled, fault } }));
  if (!taken) return nothing(replaceTop(session, { ...page, filled: step.filled }));
  // The answer may make other questions needless, or needed again.
  const after = questionsOf(calculation, asked, step.filled.answers);
  const at = step.kind === 'whole' ? page.filled.at + 1 : step.filled.at;
  if (at >= after.questions.length)
    return calculated(session, page, after, { ...page.filled, answers: step.filled.answers }, ms);
  const filled =
    step.kind === 'whole' ? toQuestion(step.filled, at, after.questions[at], step.filled.answers) : step.filled;
  return nothing({ ...replaceTop(session, { ...page, filled }), advanced: ms });
};

const pressResult = (
  session: Session,
  page: Pages['calculator'],
  done: CalculationResult,
  to: ReturnTarget | undefined,
  key: Pressed,
  ms: number,
): Turn | undefined => {
  const take = key.kind === 'act' && key.act === 'take';
  if (take && bouncesOn(session, ms)) return nothing(session);
  if (key.kind === 'act' && key.act === 'back') {
    const { inputs: _inputs, ...before } = page;
    return nothing(replaceTop(session, before));
  }
  const results = handedBack(done, to);
  if (to === undefined || results.length === 0) return take ? nothing(pop(session)) : undefined;
  // Up and down scroll the text, so enter takes the main result and a digit any of them.
  const result = results[take ? 0 : (pressedDigit(key, results.length) ?? -1)];
  return result && handBack(session, to, page, done, result);
};

export const pressCalculator = (
  session: Session,
  page: Pages['calculator'],
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const found = findCalculation(page.calculation);
  if (!found.ok) return nothing(pop(session));
  const to = targetOf(session, facts);
  const done = pageResult(page);
  const step = done?.ok
    ? pressResult(session, page, done.value, to, key, ms)
    : pressInputs(session, page, found.value, to?.unit, key, ms);
  if (step) return step;
  const moved = scrolled(page, key);
  return moved && nothing(replaceTop(session, moved));
};
