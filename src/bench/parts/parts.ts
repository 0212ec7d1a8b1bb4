import type { JobState } from '../../job/state.ts';
import type { Trouble, Wanted } from '../../job/parts/part.ts';
import type { PartName, Step } from '../../procedure/model.ts';
import type { Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import type { Form } from '../session/form.ts';
import type { MenuItem } from '../session/menu/item.ts';
import type { Prompt } from '../session/prompt.ts';
import type { FormSubject } from '../session/form-subject.ts';
import type { Canvas, Sized } from '../view/page.ts';
import { plainWork } from '../view/question.ts';
import { breakPart } from './break.ts';
import { curePart } from './cure.ts';
import { holdPart } from './hold.ts';
import { loosePart } from './loose.ts';
import { mixPart } from './mix.ts';
import type { BenchPart, OpenForm, WantedOf } from './part.ts';
import { photoPart } from './photo.ts';
import { readingPart } from './reading.ts';
import { resultPart } from './result.ts';
import { tightenPart } from './tighten.ts';
import { waitPart } from './wait.ts';

/** Every part of a step, in the order in which a step names them. */
export const benchParts: { readonly [P in PartName]: BenchPart<P> } = {
  reading: readingPart,
  result: resultPart,
  tighten: tightenPart,
  mix: mixPart,
  cure: curePart,
  break: breakPart,
  hold: holdPart,
  loose: loosePart,
  photo: photoPart,
  wait: waitPart,
};

type PartOf<P extends PartName> = (typeof benchParts)[P];

const every = Object.values(benchParts) as readonly BenchPart<PartName>[];

/** How something is asked for that is entered in a step. */
export const askPart = <P extends Wanted['part']>(
  { job, around }: Pick<JobNow, 'job' | 'around'>,
  step: Step,
  wanted: WantedOf<P> & Wanted,
): Prompt => {
  const part: PartOf<P> = benchParts[wanted.part as P];
  return part.ask(job, step, wanted, around);
};

/** What is read above the question of a part, besides the step's own words. */
export const partText = (here: JobNow, step: Step, subject: FormSubject | undefined): readonly Row[] =>
  (subject && benchParts[subject.part].text?.(here, step)) ?? [];

/** Where a form is filled in: the question, with what its part draws around it. */
export const formWork = <P extends FormSubject['part']>(open: OpenForm<P>, canvas: Canvas): readonly Row[] => {
  const part: PartOf<P> = benchParts[open.subject.part as P];
  return part.work?.(open, canvas) ?? plainWork(open.form, open.filled, canvas);
};

/** What is said of what is being typed. */
export const formSaid = <P extends FormSubject['part']>(open: OpenForm<P>, canvas: Canvas): readonly Row[] => {
  const part: PartOf<P> = benchParts[open.subject.part as P];
  return part.said?.(open, canvas) ?? [];
};

/** The values and results of a step as they are now, each with its verdict in word, mark and colour. */
export const valuesOfStep = (here: JobNow, step: Step, sized: Sized): readonly Row[] =>
  every.flatMap((part) => part.values?.(here, step, sized) ?? []);

export const allValues = (here: JobNow, sized: Sized): readonly Row[] =>
  here.job.plan.steps.flatMap((step) => valuesOfStep(here, step, sized));

/** Another try of the value that a trouble is about, where there is one. */
export const anotherTry = (job: JobState, step: Step, trouble: Trouble): Form | undefined => {
  for (const part of every) {
    const form = part.again?.(job, step, trouble);
    if (form) return form;
  }
  return undefined;
};

/** Menu items that correct what was entered in a job, oldest first. */
export const partCorrections = (job: JobState): readonly MenuItem[] =>
  every.flatMap((part) => part.corrections?.(job) ?? []);
