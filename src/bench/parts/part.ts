import type { WantOf } from '../../job/next/want.ts';
import type { Trouble, Wanted } from '../../job/parts/part.ts';
import type { JobState } from '../../job/state.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import type { PartName, Step } from '../../procedure/model.ts';
import type { Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import type { Filled, Form } from '../session/form.ts';
import type { FormSubject } from '../session/form-subject.ts';
import type { MenuItem } from '../session/menu/item.ts';
import type { Prompt } from '../session/prompt.ts';
import type { Canvas, Sized } from '../view/page.ts';

/** What is entered for a part, and what is waited for in it: a look at its hold, a stage of its cure, its time. */
interface Waited {
  readonly hold: WantOf<'look'>;
  readonly cure: WantOf<'cure'>;
  readonly wait: WantOf<'wait'>;
}

/** What the engine says that a step still wants of each part. */
type Wants = {
  readonly [P in PartName]: Extract<Wanted, { readonly part: P }> | (P extends keyof Waited ? Waited[P] : never);
};

/** What is wanted of one part, by its name. */
export type WantedOf<P extends PartName> = Wants[P];

/** A form that is open on a screen, with the part of a step that it enters. */
export interface OpenForm<P extends PartName = PartName> {
  readonly here: JobNow;
  readonly subject: Extract<FormSubject, { readonly part: P }>;
  readonly form: Form;
  readonly filled: Filled;
}

/** What the bench knows of one part of a step. Everything in it is a pure function of state, time and size. */
export interface BenchPart<P extends PartName> {
  /** How the part is asked for, or how what it waits for is shown. */
  readonly ask: (job: JobState, step: Step, wanted: WantedOf<P>, around: Surroundings) => Prompt;
  /** To be read above its question, besides the step's own words. */
  readonly text?: (here: JobNow, step: Step) => readonly Row[];
  /** Its question, with what is drawn around it. Absent: the question alone. */
  readonly work?: (open: OpenForm<P>, canvas: Canvas) => readonly Row[];
  /** What is said of the value while it is typed. */
  readonly said?: (open: OpenForm<P>, canvas: Canvas) => readonly Row[];
  /** Its values in a step as they are now, a row each. */
  readonly values?: (here: JobNow, step: Step, sized: Sized) => readonly Row[];
  /** Another try of the value that a trouble is about; nothing where the trouble is not this part's, or no try is left. */
  readonly again?: (job: JobState, step: Step, trouble: Trouble) => Form | undefined;
  /** Menu items that correct what was entered of it in a job, oldest first. */
  readonly corrections?: (job: JobState) => readonly MenuItem[];
}
