import type { CountReading, QuantityReading, Reading } from '../../procedure/model.ts';
import { convert, printCalculated } from '../../quantity/quantity.ts';
import { unitNamed, type Unit } from '../../quantity/units.ts';
import type { NamedResult } from '../../trade/calculation.ts';
import type { CalculationResult } from '../../trade/calculations.ts';
import { jobById, jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { filledFor, questionAt, type Filled, type Form } from './form.ts';
import { promptNow } from './prompt-now.ts';
import type { Page, Session } from './state.ts';

/** The value that is asked for on the page from which the calculators were opened; a result can be entered there. */
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
  session: Session,
  facts: BenchFacts,
  page: Page | undefined,
): { readonly form: Form; readonly filled: Filled } | undefined => {
  if (page?.page === 'form') return page;
  const job = page?.page === 'walk' ? jobById(facts, page.job) : undefined;
  const prompt = job && promptNow(jobNow(facts, job));
  if (page?.page !== 'walk' || prompt?.kind !== 'question') return undefined;
  return { form: prompt.form, filled: filledFor(prompt.form, page.filled, session.drafts) };
};

/** The value that is asked for where the calculators were opened; nothing where no number is asked for. */
export const targetOf = (session: Session, facts: BenchFacts): ReturnTarget | undefined => {
  const at = session.pages.findLastIndex(({ page }) => page === 'walk' || page === 'form');
  const page = session.pages[at];
  const open = formOn(session, facts, page);
  if (open?.form.subject?.part !== 'reading') return undefined;
  const { form, filled } = open;
  const { reading } = open.form.subject;
  // A form on a page of its own may be at its second question, the reason.
  if (page?.page === 'form' && questionAt(form, filled)?.name !== 'value') return undefined;
  return measured(reading) ? { at, form, filled, reading, unit: unitOf(reading) } : undefined;
};

/** The results that are of the kind asked for, and can be entered there. */
export const handedBack = (done: CalculationResult, to: ReturnTarget | undefined): readonly NamedResult[] =>
  to === undefined ? [] : done.results.filter(({ quantity }) => quantity.unit.dimension === to.unit.dimension);

/** A result as it would be entered, in the unit that is asked for. */
export const asValue = (result: NamedResult, to: ReturnTarget): string =>
  printCalculated(convert(result.quantity, to.unit));
