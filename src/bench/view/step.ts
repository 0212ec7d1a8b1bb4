import { lotsInUse } from '../../job/lots.ts';
import { fittedNow } from '../../job/serials.ts';
import type { JobState } from '../../job/state.ts';
import type { Step } from '../../procedure/model.ts';
import { paragraphRows, type Row } from '../drawing/rows.ts';
import { marked, title, type Canvas } from './page.ts';

/** The warnings and cautions of a step, shown before everything that is entered in it. */
export const stepWarnings = (step: Step, { width, marks }: Canvas): readonly Row[] => [
  ...step.warnings.flatMap((text) => marked(marks.attention, `Warning: ${text}`, width, 'outside')),
  ...step.cautions.flatMap((text) => marked(marks.attention, `Caution: ${text}`, width, 'person')),
];

/** The materials that a step takes in hand with their lots, and the parts that go in with their serial numbers, by their labels. */
const takingText = (job: JobState, step: Step): readonly string[] => {
  const { materials, parts } = job.plan.gather;
  const lotsOf = (material: string): string => {
    const label = materials.find((one) => one.material === material)?.title ?? material;
    return [label, ...lotsInUse(job, material).map(({ number }) => `lot ${number}`)].join(', ');
  };
  const serialsOf = (part: string): string => {
    const label = parts.find((one) => one.part === part)?.title ?? part;
    return [label, ...fittedNow(job, part, step.step).map(({ serial }) => `SN ${serial}`)].join(', ');
  };
  return [
    ...(step.materials.length > 0 ? [`Materials: ${step.materials.map(lotsOf).join('; ')}`] : []),
    ...(step.parts.length > 0 ? [`Parts: ${step.parts.map(serialsOf).join('; ')}`] : []),
  ];
};

/** What a person reads of a step. The desk view adds its reason. */
export const stepText = (job: JobState, step: Step, canvas: Canvas): readonly Row[] => [
  ...title(step.title, canvas.width),
  ...stepWarnings(step, canvas),
  ...(step.do === undefined ? [] : paragraphRows(step.do, canvas.width)),
  ...takingText(job, step).flatMap((text) => paragraphRows(text, canvas.width)),
  ...(step.say === undefined ? [] : paragraphRows(`Say aloud: ${step.say}`, canvas.width, 'strong')),
  ...step.notes.flatMap((text) => paragraphRows(`Note: ${text}`, canvas.width, 'quiet')),
  ...(canvas.desk && step.why !== undefined ? paragraphRows(`Why: ${step.why}`, canvas.width, 'quiet') : []),
];
