import type { Step } from '../../procedure/model.ts';
import { paragraphRows, type Row } from '../drawing/rows.ts';
import { marked, title, type Canvas } from './page.ts';

/** The warnings and cautions of a step, shown before everything that is entered in it. */
export const stepWarnings = (step: Step, { width, marks }: Canvas): readonly Row[] => [
  ...step.warnings.flatMap((text) => marked(marks.attention, `Warning: ${text}`, width, 'outside')),
  ...step.cautions.flatMap((text) => marked(marks.attention, `Caution: ${text}`, width, 'person')),
];

/** What a person reads of a step. The desk view adds its reason. */
export const stepText = (step: Step, canvas: Canvas): readonly Row[] => [
  ...title(step.title, canvas.width),
  ...stepWarnings(step, canvas),
  ...(step.do === undefined ? [] : paragraphRows(step.do, canvas.width)),
  ...(step.say === undefined ? [] : paragraphRows(`Say aloud: ${step.say}`, canvas.width, 'strong')),
  ...step.notes.flatMap((text) => paragraphRows(`Note: ${text}`, canvas.width, 'quiet')),
  ...(canvas.desk && step.why !== undefined ? paragraphRows(`Why: ${step.why}`, canvas.width, 'quiet') : []),
];
