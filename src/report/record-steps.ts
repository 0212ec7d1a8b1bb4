import type { RecordStep } from '../record/document-step.ts';
import { stepMark } from './marks.ts';
import { partBlocks } from './parts/parts.ts';
import { stampText, type Naming } from './people.ts';
import { facts, heading, list, paragraph, warning, type Block } from './sheet.ts';

/** A text of the procedure, line by line. */
export const lines = (text: string): readonly string[] => text.split(/\r?\n/).filter((line) => line.trim() !== '');

const permanentText = (step: RecordStep): string | undefined =>
  step.permanent ? 'cannot be undone without damage' : undefined;

type NotDone = NonNullable<NonNullable<RecordStep['skipped']>['not-done']>;

const notDoneText = (one: NotDone, naming: Naming): string => `${one.because} (${stampText(one, naming)}), a departure`;

const headBlocks = (step: RecordStep, naming: Naming): readonly Block[] => [
  heading(2, `Step ${step.number}. ${step.title}`),
  ...(step.warnings ?? []).flatMap(lines).map((line) => warning(`WARNING: ${line}`)),
  ...(step.cautions ?? []).flatMap(lines).map((line) => warning(`CAUTION: ${line}`)),
  ...lines(step.do ?? '').map((line) => paragraph(line)),
  ...(step.notes ?? []).flatMap(lines).map((line) => paragraph(`Note: ${line}`)),
  ...facts(
    ['Step', [{ code: step.step }]],
    ['State', [stepMark(step.state)]],
    ['Not in', step['not-in'] && `revision ${step['not-in']}; what was entered stays`],
    ['Say', step.say],
    ['Critical', step.critical ? 'yes' : undefined],
    ['Permanent', permanentText(step)],
    ['Sets', step.sets?.join(', ')],
    ['Proves', step.proves?.join(', ')],
    ['Relies on', step['relies-on']?.join(', ')],
    ['Covers', step.covers?.join(', ')],
    ['Uncovers', step.uncovers?.join(', ')],
    ['Gate', step.gate],
    ['Place', step.place],
    ['People', step.people === undefined ? undefined : `${step.people}`],
    ['Wait', step.wait],
    ['Only if', step['only-if']],
    ['In the pot life of', step['in-pot-life-of']?.join(', ')],
    [
      'Relied on the cure',
      step['after-stage'] && `${step['after-stage'].stage} of ${step['after-stage'].cures.join(', ')}`,
    ],
    ['Closes', step.closes?.join(', ')],
    ['Begun', step.begun && `${stampText(step.begun, naming)}${step.begun.implied ? ', by its first entry' : ''}`],
    ['Finished', step.finished && stampText(step.finished, naming)],
    ['Performed by', step.performers.map(naming).join(', ')],
    ['Helpers', step.with.map(naming).join(', ')],
    [
      'Left for later',
      step.skipped &&
        `${step.skipped.because}; tag ${step.skipped.tag}, before ${step.skipped.before} (${stampText(step.skipped, naming)})`,
    ],
    ['Not done', step.skipped?.['not-done'] && notDoneText(step.skipped['not-done'], naming)],
  ),
  ...(step.reopened
    ? [paragraph('Opened again:'), ...list(step.reopened.map((one) => `${one.because} (${stampText(one, naming)})`))]
    : []),
];

/** One step with everything that was entered on it. */
export const stepBlocks = (step: RecordStep, naming: Naming): readonly Block[] => [
  ...headBlocks(step, naming),
  ...partBlocks(step, naming),
];
