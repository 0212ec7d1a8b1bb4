import type { Batch, Finding, JobState } from '../../job/state.ts';
import type { Slot } from '../../job/values.ts';
import type { Trouble } from '../../job/verdicts.ts';
import type { LoosePart, Mix, PartName, PhotoPart, Reading, Step, Tighten } from '../../procedure/model.ts';
import type { Row } from '../drawing/rows.ts';
import type { Placed } from '../placed.ts';
import type { Filled, Form } from '../session/form.ts';
import type { MenuItem } from '../session/menu/item.ts';
import type { Prompt } from '../session/prompt.ts';
import type { FormSubject } from '../session/form-subject.ts';
import type { Canvas, Sized } from '../view/page.ts';

/** What one part of the open step still wants. */
export type PartWanted =
  | { readonly part: 'reading'; readonly reading: Reading; readonly slot: Slot }
  | { readonly part: 'result'; readonly what: string }
  /** `markOnly`: its values are entered, and the torque mark is wanted. */
  | { readonly part: 'tighten'; readonly tighten: Tighten; readonly fastener: number; readonly markOnly: boolean }
  | { readonly part: 'mix'; readonly mix: Mix }
  | { readonly part: 'cure' }
  | { readonly part: 'break'; readonly batch: Batch['batch']; readonly sample: string }
  | { readonly part: 'hold'; readonly wants: 'invitation' | 'release' | 'witness' }
  | { readonly part: 'hold'; readonly wants: 'answer'; readonly finding: Finding }
  | { readonly part: 'loose'; readonly leave: LoosePart }
  | { readonly part: 'loose'; readonly close: string }
  | { readonly part: 'photo'; readonly photo: PhotoPart }
  | { readonly part: 'wait' };

type Wants = { readonly [P in PartName]: Extract<PartWanted, { readonly part: P }> };

/** What one part wants, by its name. */
export type WantedOf<P extends PartName> = Wants[P];

/** A form that is open on a screen, with the part of a step that it enters. */
export interface OpenForm<P extends PartName = PartName> {
  readonly here: Placed;
  readonly subject: Extract<FormSubject, { readonly part: P }>;
  readonly form: Form;
  readonly filled: Filled;
}

/** What the bench knows of one part of a step. Everything in it is a pure function of state, time and size. */
export interface BenchPart<P extends PartName> {
  /** How the part is asked for. */
  readonly ask: (job: JobState, step: Step, wanted: WantedOf<P>) => Prompt;
  /** To be read above its question, besides the step's own words. */
  readonly text?: (here: Placed, step: Step) => readonly Row[];
  /** Its question, with what is drawn around it. Absent: the question alone. */
  readonly work?: (open: OpenForm<P>, canvas: Canvas) => readonly Row[];
  /** What is said of the value while it is typed. */
  readonly said?: (open: OpenForm<P>, canvas: Canvas) => readonly Row[];
  /** Its values in a step as they are now, a row each. */
  readonly values?: (here: Placed, step: Step, sized: Sized) => readonly Row[];
  /** Another try of the value that a trouble is about; nothing where the trouble is not this part's, or no try is left. */
  readonly again?: (job: JobState, step: Step, trouble: Trouble) => Form | undefined;
  /** Menu items that correct what was entered of it in a job, oldest first. */
  readonly corrections?: (job: JobState) => readonly MenuItem[];
}
