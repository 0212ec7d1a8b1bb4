import type { RecordStep } from '../../record/document-step.ts';
import type { Naming } from '../people.ts';
import type { Block } from '../sheet.ts';

/** What a printed record shows of one part of a step; nothing where the step has no such part. */
export type PrintedPart = (step: RecordStep, naming: Naming) => readonly Block[];
