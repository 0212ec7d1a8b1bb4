import { own } from '../../fault/own.ts';
import type { Data, Datum } from '../../job/entry.ts';
import type { CalculatedBy } from '../../job/verb-spec.ts';
import { givenFields, isVerb } from '../../job/verbs.ts';
import type { Answers, Filled, Form, Question } from './form.ts';

/** Whether the entry keeps this answer as a whole number. A reading of a count keeps the digits as they were typed. */
const isWhole = (form: Form, name: string): boolean =>
  isVerb(form.verb) && givenFields(form.verb).find((field) => field.name === name)?.kind === 'whole';

const asDatum = (form: Form, question: Question, answer: string | readonly string[]): Datum => {
  if (typeof answer !== 'string') return answer;
  if (question.kind === 'whole') return isWhole(form, question.name) ? Number(answer) : answer;
  if (question.kind === 'yes') return answer === 'yes';
  if (question.kind !== 'names') return answer;
  return answer
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
};

/** How the value was calculated, as long as nobody has changed what the calculator gave. */
export const calculatedIn = (filled: Filled, value: string | undefined): CalculatedBy | undefined =>
  filled.calculated?.value === value ? filled.calculated?.by : undefined;

/** The parts answered so far of a field that is asked for part by part, such as the weights of a cup. */
const partsIn = (datum: Datum | undefined): Readonly<Record<string, Datum>> =>
  typeof datum === 'object' && datum !== null && !Array.isArray(datum)
    ? (datum as Readonly<Record<string, Datum>>)
    : {};

/** Who enters it and when it happened come beside the data of an act. */
const isAside = ({ name }: Question): boolean => name === 'by' || name === 'when';

/**
 * The answers as the data of an act. What was not answered is left out, and so are a plain no, who enters it (`by`) and passphrases.
 * `calculated` says how the value was calculated.
 */
export const formData = (form: Form, answers: Answers, calculated?: CalculatedBy): Data => {
  const data: Record<string, Datum> = { ...form.fixed, ...(calculated ? { calculated: { ...calculated } } : {}) };
  for (const question of form.questions) {
    const answer = own(answers, question.name);
    if (answer === undefined || answer === '' || question.kind === 'secret' || isAside(question)) continue;
    if (question.only !== undefined) continue;
    if (question.kind === 'yes' && answer === 'no') continue;
    const dot = question.name.indexOf('.');
    const [name, part] = dot < 0 ? [question.name] : [question.name.slice(0, dot), question.name.slice(dot + 1)];
    const datum = asDatum(form, question, answer);
    data[name] =
      part === undefined
        ? datum
        : { ...partsIn(data[name]), [part]: typeof datum === 'number' || datum === null ? String(datum) : datum };
  }
  return data;
};
