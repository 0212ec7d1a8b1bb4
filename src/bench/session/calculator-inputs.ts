import { own } from '../../fault/own.ts';
import type { Unit } from '../../quantity/units.ts';
import type { Calculation, InputSpec } from '../../trade/calculation.ts';
import type { Answers, Question, Questions } from './form.ts';
import { withUnit } from './press-in-form.ts';

/** The unit of a number typed without one: the only one that the input can be in, else that of the value asked for, if it is of the same kind. */
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
        ...(required ? [] : [{ value: '', label: 'skip' }]),
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

/** The inputs of a calculation, asked one by one. Of inputs that exclude each other, only the first that is answered is asked for. */
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
export const inputValue = (question: Question, answers: Answers): string | undefined => {
  const answer = own(answers, question.name);
  const text = typeof answer === 'string' ? answer : answer?.map((line) => withUnits(line, question.unit)).join('; ');
  return text === '' ? undefined : text;
};

/** Everything that goes into the calculation, by the names of its inputs. */
export const inputsOf = ({ questions }: Questions, answers: Answers): Readonly<Record<string, string>> =>
  Object.fromEntries(
    questions.flatMap((question) => {
      const input = inputValue(question, answers);
      return input === undefined ? [] : [[question.name, input]];
    }),
  );
