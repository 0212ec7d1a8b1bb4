import type { RecordStep } from '../record/document-step.ts';
import type { RecordDocument } from '../record/document.ts';
import type { RecordMix } from '../record/parts/mix.ts';
import { partBlocks } from './parts/parts.ts';
import { holdFacts } from './parts/hold.ts';
import { instantText, namingOf, type Naming } from './people.ts';
import { exceptionBlocks } from './record-exceptions.ts';
import { stepDone } from './record-steps.ts';
import { facts, heading, paragraph, warning, type Block, type Sheet } from './sheet.ts';
import { withSide } from './side.ts';
import { sheetText } from './text.ts';

/**
 * What a second person is shown at a hold, and signs with their answer. `sheet` is what was entered; `cures` is what temperatures say of
 * it, and goes on changing while a cure runs, so that it is compared apart.
 */
export interface InspectionSheet {
  readonly sheet: Sheet;
  readonly cures: Sheet;
}

const without = <T extends object, Key extends keyof T>(whole: T, key: Key): Omit<T, Key> =>
  Object.fromEntries(Object.entries(whole).filter(([one]) => one !== key)) as Omit<T, Key>;

/** A step without what temperatures decide: its cure, and the end of its pot life. */
const enteredIn = (step: RecordStep): RecordStep => {
  const bare = without(step, 'cure');
  return step.mix === undefined ? bare : { ...bare, mix: without(step.mix, 'pot-life-end') };
};

const stepEntered = (step: RecordStep, naming: Naming): readonly Block[] => [
  heading(2, `Step ${step.number}. ${step.title}`),
  ...stepDone(step, naming),
  ...partBlocks(enteredIn(step), naming),
];

/** What temperatures say of a step: its cure, and when the pot life of its mix ended. */
const stepCured = (step: RecordStep, naming: Naming): readonly Block[] => {
  const { number, title, cure, mix } = step;
  const { performers, with: helpers, state } = step;
  const bare: RecordStep = { number, step: step.step, title, state, performers, with: helpers };
  const end = mix?.['pot-life-end'];
  const ended = end && mix ? facts(['Pot life ended', potLifeText(end)]) : [];
  const cured = cure ? partBlocks({ ...bare, cure }, naming) : [];
  return cured.length + ended.length === 0 ? [] : [heading(2, `Step ${number}. ${title}`), ...ended, ...cured];
};

const potLifeText = ({ batch, ends, hottest }: NonNullable<RecordMix['pot-life-end']>): string =>
  [`${instantText(ends)} of ${batch}`, hottest && `hottest entered ${hottest}`].filter(Boolean).join(', ');

/** The exceptions of a record that belong to the inspected steps, or to no step. */
const exceptionsOf = (document: RecordDocument, seen: ReadonlySet<string>): RecordDocument => {
  const isSeen = ({ step }: { readonly step?: string }): boolean => step === undefined || seen.has(step);
  return {
    ...document,
    departures: document.departures.filter(isSeen),
    nonconformances: document.nonconformances.filter(isSeen),
    dispositions: document.dispositions.filter(isSeen),
    loose: document.loose.filter((one) => isSeen(one) || seen.has(one.item)),
  };
};

const skippedText = (skipped: readonly RecordStep[]): readonly Block[] =>
  skipped.map(({ title, skipped: left }) =>
    warning(`NOT DONE: ${title}${left ? `, left for later: ${left.because}` : ''}`),
  );

const nothing = (blocks: readonly Block[], text: string): readonly Block[] =>
  blocks.length > 0 ? blocks : [paragraph(text)];

/** Everything that the person at a hold or witness point must see before they answer. Nothing of it is left out where it went wrong. */
export const inspectionSheet = (document: RecordDocument, hold: string): InspectionSheet => {
  const naming = namingOf(document);
  const step = document.steps.find((one) => one.step === hold);
  const seen = new Set(step?.hold?.of);
  const steps = document.steps.filter((one) => seen.has(one.step));
  const { job } = document;
  const title = `To be inspected: ${step?.title ?? hold}`;
  return {
    sheet: {
      title,
      blocks: [
        heading(1, title),
        ...facts(
          ['Work', withSide(job.title, job.side)],
          ['Job', job.job],
          ['Procedure', `${job.procedure}, revision ${job.revision}`],
        ),
        ...(step?.hold ? holdFacts(step.hold, naming) : []),
        ...skippedText(steps.filter(({ state }) => state === 'left for later' || state === 'not done')),
        ...nothing(
          steps.flatMap((one) => stepEntered(one, naming)),
          'No step is inspected here.',
        ),
        ...nothing(
          exceptionBlocks(exceptionsOf(document, seen), naming),
          'No departures, nonconformances, dispositions or loose items.',
        ),
      ],
    },
    cures: { title: 'Cures', blocks: steps.flatMap((one) => stepCured(one, naming)) },
  };
};

const linesOfSheet = (sheet: Sheet): readonly string[] =>
  sheet.blocks.length === 0 ? [] : sheetText(sheet).trimEnd().split('\n');

/** The same in words, as they are signed: lines of at most 80 columns. */
export const inspectionLines = (
  document: RecordDocument,
  hold: string,
): { readonly sheet: readonly string[]; readonly cures: readonly string[] } => {
  const { sheet, cures } = inspectionSheet(document, hold);
  return { sheet: linesOfSheet(sheet), cures: linesOfSheet(cures) };
};
