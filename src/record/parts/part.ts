import type * as z from 'zod/mini';
import type { JobState } from '../../job/state.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import type { Step } from '../../procedure/model.ts';
import type { Observation } from '../observe.ts';
import type { Frozen } from '../shapes.ts';

/** One value or fastener for which an individual tool was named. */
export interface ToolUse {
  /** The individual. */
  readonly tool: string;
  /** The kind that the procedure asks for; empty where it asks for none. */
  readonly kind: string;
  /** What the tool was used for, as the record lists it. */
  readonly what: string;
}

/** How the record of a step holds one part of it. */
export interface RecordedPart<Slot extends string = string, Shape extends z.ZodMiniType = z.ZodMiniType> {
  /** The key of a recorded step that holds the part. */
  readonly slot: Slot;
  /** What may be under that key. A record is checked against it when it is read, and the types are made from it. */
  readonly shape: Shape;
  /** What the record says of the part; nothing where there is nothing to say. */
  write(job: JobState, step: Step, around: Surroundings): Frozen<z.infer<Shape>> | undefined;
  /** Every use of an individual tool. */
  uses?(job: JobState, step: Step): readonly ToolUse[];
  /** The verdicts of a recorded part, decided again from the values and limits beside them wherever both are there in full. */
  recheck?(recorded: Frozen<z.infer<Shape>>, step: string): readonly Observation[];
}
