import type { Outcome } from '../../fault/fault.ts';
import type { CountReading, QuantityReading, Reading } from '../../procedure/model.ts';
import { convert, printCalculated } from '../../quantity/quantity.ts';
import { unitNamed, type Unit } from '../../quantity/units.ts';
import type { Calculation, InputSpec, NamedResult } from '../../trade/calculation.ts';
import { calculate, findCalculation, type CalculationResult } from '../../trade/calculations.ts';
import { calculationsFor } from '../../trade/gives.ts';
import { inputFault } from '../../trade/inputs.ts';
import type { Pressed } from '../keys.ts';
import { fieldOf, isEmpty } from '../drawing/field.ts';
import { jobShown, placed } from '../placed.ts';
import type { BenchFacts } from '../ports.ts';
import { bouncesOn } from './commit.ts';
import {
  emptyFilled,
  filledFor,
  questionAt,
  type Answers,
  type Filled,
  type Form,
  type Question,
  type Questions,
} from './form.ts';
import { pressInForm, toQuestion, withUnit } from './press-in-form.ts';
import { nothing, pop, push, replaceTop, type Page, type Pages, type Session, type Turn } from './state.ts';
import { pressedDigit, pressList, scrolled } from './press-list.ts';
import { promptNow } from './prompt-now.ts';
import { own } from '../../fault/own.ts';

/** The value that is asked for beneath the calculators, which their result is handed back to. */
export interface ReturnTarget {
  /** Which page of the session asks for it. */
  readonly at: number;
  readonly form: Form;
  readonly filled: Filled;
  readonly reading: QuantityReading | CountReading;
  readonly unit: Unit;
}

const measured = (reading: Reading | undefined): reading is QuantityReading | CountReading =>
  reading?.kind === 'quantity' || reading?.kind === 'count';

const unitOf = (reading: QuantityReading | CountReading): Unit =>
  reading.kind === 'quantity' ? reading.unit : unitNamed('count');

/** The form that is filled in on a page, and what is typed in it. */
const formOn = (
  facts: BenchFacts,
  page: Page | undefined,
): { readonly form: Form; readonly filled: Filled } | undefined => {
  if (page?.page === 'form') return page;
  const job = page?.page === 'walk' ? jobShown(facts, page.job) : undefined;
  const prompt = job && promptNow(placed(facts, job));
  if (page?.page !== 'walk' || prompt?.kind !== 'question') return undefined;
  return { form: prompt.form, filled: filledFor(prompt.form, page.filled) };
};

/** The value that is asked for where the calculators were opened; nothing where no number is. */
export const targetOf = (session: Session, facts: BenchFacts): ReturnTarget | undefined => {
  const at = session.pages.findLastIndex(({ page }) => page === 'walk' || page === 'form');
  const page = session.pages[at];
  const open = formOn(facts, page);
  if (open?.form.subject?.part !== 'reading') return undefined;
  const { form, filled } = open;
  const { reading } = open.form.subject;
  // Where a form has a page of its own, the reason may be asked for just now.
  if (page?.page === 'form' && questionAt(form, filled)?.name !== 'value') return undefined;
  return measured(reading) ? { at, form, filled, reading, unit: unitOf(reading) } : undefined;
};

/** The unit of a bare number: where none else could be meant, and that of the value asked for where it is of its kind. */
const bareUnit = ({ bare, dimension }: InputSpec, asked: Unit | undefined): string | undefined => {
  if (bare !== undefined) return bare;
  const same = asked !== undefined && (dimension === 'any' || dimension === asked.dimension);
  return same && asked.dimension !== 'count' ? asked.name : undefined;
};

const questionOf = (calculation: Calculation, spec: InputSpec, asked: Unit | undefined): Question => {
  const { name, about, choices } = spec;
  const isAlternative = calculation.inputs.some(({ insteadOf }) => insteadOf === name);
  const required = spec.required || isAlternative;
  const base = { name, required };
  const example = own(calculation.example, name);
  if (choices)
    return {
      ...base,
      ask: `${name}: ${about}`,
      kind: 'choice',
      choices: [
        ...choices.map((value) => ({ value, label: value })),
        ...(required ? [] : [{ value: '', label: 'leave it out' }]),
      ],
    };
  const several = spec.many === true || spec.list === true;
  const unit = bareUnit(spec, asked);
  const shown = example === undefined || several || about.includes('as in') ? '' : `, as in ${example}`;
  const ask = `${name}: ${several ? about.replace(/, or a list with semicolons/, '') : about}${shown}`;
  return {
    ...base,
    ask: several ? `${ask}; one a line` : ask,
    kind: several ? 'lines' : spec.dimension === 'text' ? 'text' : 'quantity',
    ...(unit === undefined ? {} : { unit }),
  };
};

/** The inputs of a calculation, asked one by one; of those that shut each other out none is asked after one that is answered. */
export const questionsOf = (calculation: Calculation, asked: Unit | undefined, answers: Answers): Questions => {
  const shut = new Set<string>();
  const wanted = ({ name, oneOf, insteadOf }: InputSpec): boolean => {
    if (insteadOf !== undefined || (oneOf !== undefined && shut.has(oneOf))) return false;
    if (oneOf !== undefined && own(answers, name) !== undefined) shut.add(oneOf);
    return true;
  };
  return {
    key: `calculate ${calculation.name}`,
    questions: calculation.inputs.filter(wanted).map((spec) => questionOf(calculation, spec, asked)),
  };
};

const withUnits = (line: string, unit: string | undefined): string => {
  const read = withUnit(line, unit);
  return read.ok ? read.value : line;
};

/** An answer as the calculation takes it; nothing where it was left out. */
const inputOf = (question: Question, answers: Answers): string | undefined => {
  const answer = own(answers, question.name);
  const text = typeof answer === 'string' ? answer : answer?.map((line) => withUnits(line, question.unit)).join('; ');
  return text === '' ? undefined : text;
};

const inputsOf = ({ questions }: Questions, answers: Answers): Readonly<Record<string, string>> =>
  Object.fromEntries(
    questions.flatMap((question) => {
      const input = inputOf(question, answers);
      return input === undefined ? [] : [[question.name, input]];
    }),
  );

/** What the page's calculation gives, once everything it takes is typed. */
export const pageResult = (page: Pages['calculator']): Outcome<CalculationResult> | undefined =>
  page.inputs && calculate(page.calculation, page.inputs);

/** The results that are of the kind asked for: they can be handed back. */
export const handedBack = (done: CalculationResult, to: ReturnTarget | undefined): readonly NamedResult[] =>
  to === undefined ? [] : done.results.filter(({ quantity }) => quantity.unit.dimension === to.unit.dimension);

/** A result as the value would read, in the unit that is asked for. */
export const asValue = (result: NamedResult, to: ReturnTarget): string =>
  printCalculated(convert(result.quantity, to.unit));

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
  if (empty && key.kind === 'typed' && key.text === ' ') return nothing(session);
  if (empty && key.kind === 'act' && key.act === 'take' && bouncesOn(session, ms)) return nothing(session);
  const step = pressInForm(form, page.filled, key);
  if (step.kind === 'back') return nothing(pop(session));
  if (step.kind === 'other') return undefined;
  const input = question && inputOf(question, step.filled.answers);
  const taken = step.kind === 'whole' || step.advanced;
  const fault = taken && question && input !== undefined ? inputFault(calculation, question.name, input) : undefined;
  if (fault) return nothing(replaceTop(session, { ...page, filled: { ...page.filled, fault } }));
  if (!taken) return nothing(replaceTop(session, { ...page, filled: step.filled }));
  // The answer may shut other questions out, or let them in again.
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
  // Up and down are for reading on: enter takes the main result, a digit any.
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
