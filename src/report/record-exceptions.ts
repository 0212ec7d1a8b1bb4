import type {
  RecordDecision,
  RecordDeparture,
  RecordDisposition,
  RecordDocument,
  RecordMove,
} from '../record/document.ts';
import type { RecordLoose } from '../record/parts/loose.ts';
import { decidedWords } from './impact.ts';
import { bad, good } from './marks.ts';
import { keptPhotoRuns } from './parts/photo.ts';
import { instantText, stampText, type Naming } from './people.ts';
import { facts, joined, section, table, type Block, type Runs } from './sheet.ts';

const departure = (one: RecordDeparture, naming: Naming): readonly Block[] =>
  facts(
    ['The manual says', one.says],
    ['I did', one.did],
    ['Because', one.because],
    ['Agreed', one.agreed && `${naming(one.agreed)}, ${one.agreement ?? 'by word, not signed'}`],
    ['Effect on weight', one.weight],
    ['Effect on access', one.access],
    ['Effect on later steps', one.steps],
    ['At step', one.step],
    ['Overrules', one.code === 'manual' ? undefined : one.code],
    ['Excepts', one.excepts && (one.excepts.length === 0 ? 'nothing: nothing was open' : one.excepts.join('; '))],
    ['Entered', stampText(one, naming)],
  );

const acceptance = (one: RecordDisposition, naming: Naming): Runs | undefined =>
  one.accepted === undefined
    ? undefined
    : joined(
        [
          one['accepted-by'] && naming(one['accepted-by']),
          one.accepted === 'by letter, not signed here' && one.author !== undefined
            ? `by letter of ${naming(one.author)}, not signed here`
            : one.accepted,
          one.letter && ['SHA-256 of the letter ', { code: one.letter }],
        ],
        ', ',
      );

const disposition = (one: RecordDisposition, naming: Naming): readonly Block[] =>
  facts(
    ['Disposition', [{ strong: one.as }]],
    [
      'Of',
      joined([
        one.on,
        one.fastener === undefined ? undefined : `fastener ${one.fastener}`,
        one.position,
        one.n === undefined ? undefined : `value ${one.n}`,
        one.step === undefined || one.step === one.on ? undefined : `step ${one.step}`,
      ]),
    ],
    ['Reason', one.reason],
    ['Accepted', acceptance(one, naming)],
    ['Covers', one.covers.join('; ')],
    ['Entered', stampText(one, naming)],
  );

const move = (one: RecordMove, naming: Naming): readonly Block[] =>
  facts(
    ['Moved', [{ strong: `from revision ${one.from.revision} to ${one.to.revision}` }]],
    ['Open again', one.reopened.join(', ') || 'nothing: every finished step stood'],
    ['Renamed', one.renamed?.map(({ old, new: now }) => `${old} to ${now}`).join(', ')],
    ['Text', ['SHA-256 ', { code: one.to.sha256 }]],
    ['Entered', stampText(one, naming)],
  );

const decision = (one: RecordDecision, naming: Naming): readonly Block[] =>
  facts(
    ['Decision', [{ strong: decidedWords[one.as] }]],
    ['About', one.covers.join('; ')],
    ['Of revision', one.revision],
    ['Because', one.reason],
    ['Entered', stampText(one, naming)],
  );

const nonconformances = (document: RecordDocument): readonly Block[] =>
  table(
    ['On', 'Step', 'What', 'State', 'Disposition'],
    document.nonconformances.map((one) => [
      [one.on],
      [one.step],
      [one.what],
      [one.open ? bad('open') : good('decided')],
      one.disposition === undefined ? [] : [{ code: one.disposition }],
    ]),
  );

const looseState = (one: RecordLoose): Runs => {
  if (one.open > 0) return [bad(`${one.open} of ${one.count} open`)];
  const isNotDone = one.skipped === true && one.closings.some(({ gone }) => gone !== undefined);
  return [isNotDone ? bad('not done') : good('closed')];
};

/** How one closing is named, and what it says. */
const closingFact = (
  isStep: boolean,
  closing: RecordLoose['closings'][number],
  naming: Naming,
): readonly [string, string] => {
  const { gone, count, reason } = closing;
  const undone = closing['set-aside'] && `open again: the step was undone by entry ${closing['set-aside']}`;
  const said = (...texts: readonly (string | undefined)[]): string =>
    [...texts, reason, stampText(closing, naming), undone].filter((text) => text !== undefined).join('; ');
  if (isStep) return gone === undefined ? ['Done', said()] : ['Not done', said('a departure')];
  return gone === undefined ? ['Closed', said(`${count}`)] : ['Ended', said(`${gone} no longer there`)];
};

const loose = (document: RecordDocument, naming: Naming): readonly Block[] =>
  document.loose.flatMap((one) =>
    facts(
      [
        `Tag ${one.tag}`,
        [{ strong: one.skipped ? `step ${one.item}` : one.item }, ` × ${one.count}: `, ...looseState(one)],
      ],
      ['Left', one.left],
      ['Because', one.because],
      ['Before', one.before],
      ['Place', one.place],
      ['Photo', one.photo && keptPhotoRuns(one.photo)],
      ['Entered', stampText(one, naming)],
      ...(one['left-again'] ?? []).map((again): readonly [string, string] => [
        'Left again',
        `${again.because}; before ${again.before} (${stampText(again, naming)})`,
      ]),
      [
        'Its step',
        one['step-undone'] && `undone by entry ${one['step-undone']}; the tag stayed open until it was closed`,
      ],
      ...one.closings.map((closing) => closingFact(one.skipped === true, closing, naming)),
    ),
  );

/** Every entry that was put right: what it said stays readable, struck, with its time and person. */
const corrections = (document: RecordDocument, naming: Naming): readonly Block[] =>
  table(
    ['Entry', 'Was', 'Is', 'Entered', 'Struck'],
    (document.corrections ?? []).map((one) => [
      [one.about === undefined ? one.type : `${one.type} ${one.about}`],
      [{ struck: one.was }],
      [{ strong: one.is }],
      [stampText(one, naming)],
      [`${naming(one['struck-by'])}, ${instantText(one['struck-at'])}: ${one.reason}`],
    ]),
  );

/** What an inspector or a buyer looks for first: where the work differs from the manual, and what is not finished. */
export const exceptionBlocks = (document: RecordDocument, naming: Naming): readonly Block[] => [
  ...section(
    'Departures from the manual',
    document.departures.flatMap((one) => departure(one, naming)),
  ),
  ...section('Nonconformances', nonconformances(document)),
  ...section(
    'Dispositions',
    document.dispositions.flatMap((one) => disposition(one, naming)),
  ),
  ...section('Corrections', corrections(document, naming)),
  ...section('Loose items', loose(document, naming)),
  ...section('Revisions of the manual', [
    ...(document.moves ?? []).flatMap((one) => move(one, naming)),
    ...(document.decisions ?? []).flatMap((one) => decision(one, naming)),
  ]),
];
