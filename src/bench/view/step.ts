import type { Step } from '../../procedure/model.ts';
import { paragraph, type Row } from '../parts/rows.ts';
import { marked, title, type Canvas } from './page.ts';

/** What a person reads of a step: what may hurt and what may damage before what is to be done. The desk view adds what it is for. */
export const stepText = (step: Step, { width, marks, desk }: Canvas): readonly Row[] => [
  ...title(step.title, width),
  ...step.warnings.flatMap((text) => marked(marks.attention, `Warning: ${text}`, width, 'outside')),
  ...step.cautions.flatMap((text) => marked(marks.attention, `Caution: ${text}`, width, 'person')),
  ...(step.do === undefined ? [] : paragraph(step.do, width)),
  ...(step.say === undefined ? [] : paragraph(`Say aloud: ${step.say}`, width, 'strong')),
  ...step.notes.flatMap((text) => paragraph(`Note: ${text}`, width, 'quiet')),
  ...(desk && step.why !== undefined ? paragraph(`Why: ${step.why}`, width, 'quiet') : []),
];
