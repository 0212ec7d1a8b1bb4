import { exceptionWords, gateItemWords } from '../job/gate-sheet.ts';
import type { RecordStep } from '../record/document-step.ts';
import { stepMark } from './marks.ts';
import { partBlocks } from './parts/parts.ts';
import { partRuns } from './part-runs.ts';
import { stampText, type Naming } from './people.ts';
import { facts, heading, joined, list, paragraph, warning, type Block, type Runs } from './sheet.ts';

/** A text of the procedure, line by line. */
export const lines = (text: string): readonly string[] => text.split(/\r?\n/).filter((line) => line.trim() !== '');

const permanentText = (step: RecordStep): string | undefined =>
  step.permanent ? 'cannot be undone without damage' : undefined;

type Material = NonNullable<RecordStep['materials']>[number];

const materialText = ({ material, lot, 'set-aside': away }: Material): string =>
  `${material}${lot === undefined ? '' : ` lot ${lot}`}${away === undefined ? '' : ' (set aside)'}`;

type NotDone = NonNullable<NonNullable<RecordStep['skipped']>['not-done']>;

const notDoneText = (one: NotDone, naming: Naming): string => `${one.because} (${stampText(one, naming)}), a departure`;

type FactRow = readonly [label: string, runs: Runs | string | undefined];

/** At a hold somebody looks, and whoever began or finished its step did no work there. */
const whoRows = (step: RecordStep, naming: Naming): readonly FactRow[] => {
  if (step.hold === undefined) return [['Performed by', step.performers.map(naming).join(', ')]];
  const looked = step.hold.looks.filter(({ kind }) => kind !== 'invite').map(({ person }) => naming(person));
  return [[step.hold.kind === 'witness point' ? 'Witnessed by' : 'Looked at by', [...new Set(looked)].join(', ')]];
};

/** What became of a step: its state, who did it and when, and why it was left. */
const doneRows = (step: RecordStep, naming: Naming): readonly FactRow[] => [
  ['State', [stepMark(step.state)]],
  [
    'Shown before it',
    step['shown-before'] && `${step['shown-before'].shown.join('; ')} (${stampText(step['shown-before'], naming)})`,
  ],
  ['Begun', step.begun && `${stampText(step.begun, naming)}${step.begun.implied ? ', by its first entry' : ''}`],
  ['Finished', step.finished && joined([stampText(step.finished, naming), step.finished.reason])],
  ...whoRows(step, naming),
  ['Helpers', step.with.map(naming).join(', ')],
  [
    'Left for later',
    step.skipped &&
      `${step.skipped.because}; tag ${step.skipped.tag}, before ${step.skipped.before} (${stampText(step.skipped, naming)})`,
  ],
  ['Not done', step.skipped?.['not-done'] && notDoneText(step.skipped['not-done'], naming)],
];

const reopenedBlocks = ({ reopened = [] }: RecordStep, naming: Naming): readonly Block[] =>
  reopened.length === 0
    ? []
    : [paragraph('Opened again:'), ...list(reopened.map((one) => `${one.because} (${stampText(one, naming)})`))];

/** The gate sheet as it was when the step passed its gate. */
const gateBlocks = ({ gate, 'gate-sheet': sheet }: RecordStep, naming: Naming): readonly Block[] => {
  if (gate === undefined || sheet === undefined) return [];
  const excepted = sheet.excepted.map((item) => exceptionWords({ ...item, by: naming(item.by) }));
  const open = sheet.open.map(gateItemWords);
  return [
    paragraph(`Gate sheet of ${gate}: ${open.length} open, ${excepted.length} excepted`),
    ...(open.length === 0 ? [] : list(open.map((item) => `open: ${item}`))),
    ...(excepted.length === 0 ? [] : list(excepted.map((item) => `excepted: ${item}`))),
  ];
};

/** What became of a step, without what its page says of it. */
export const stepDone = (step: RecordStep, naming: Naming): readonly Block[] => [
  ...facts(...doneRows(step, naming)),
  ...reopenedBlocks(step, naming),
  ...gateBlocks(step, naming),
];

const headBlocks = (step: RecordStep, naming: Naming): readonly Block[] => [
  heading(2, `Step ${step.number}. ${step.title}`),
  ...(step.warnings ?? []).flatMap(lines).map((line) => warning(`WARNING: ${line}`)),
  ...(step.cautions ?? []).flatMap(lines).map((line) => warning(`CAUTION: ${line}`)),
  ...lines(step.do ?? '').map((line) => paragraph(line)),
  ...(step.notes ?? []).flatMap(lines).map((line) => paragraph(`Note: ${line}`)),
  ...facts(
    ['Step', [{ code: step.step }]],
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
    ['Materials', step.materials?.map(materialText).join('; ')],
    ['Parts', step.parts?.flatMap((one, index) => [...(index > 0 ? ['; '] : []), ...partRuns(one, naming)])],
    ['Wait', step.wait],
    ['No later than', step['no-later-than']],
    ['Only if', step['only-if']],
    ['In the pot life of', step['in-pot-life-of']?.join(', ')],
    [
      'Relied on the cure',
      step['after-stage'] && `${step['after-stage'].stage} of ${step['after-stage'].cures.join(', ')}`,
    ],
    ['Closes', step.closes?.join(', ')],
    ...doneRows(step, naming),
  ),
  ...reopenedBlocks(step, naming),
  ...gateBlocks(step, naming),
];

/** One step with everything that was entered on it. */
export const stepBlocks = (step: RecordStep, naming: Naming): readonly Block[] => [
  ...headBlocks(step, naming),
  ...partBlocks(step, naming),
];
