import type {
  RecordDecision,
  RecordDeparture,
  RecordDisposition,
  RecordDocument,
  RecordMove,
  RecordTool,
} from '../record/document.ts';
import type { RecordLoose } from '../record/parts/loose.ts';
import { bad, good, open } from './marks.ts';
import { instantText, stampText, timeText, type Naming } from './people.ts';
import { photoBlocks } from './parts/photo.ts';
import { facts, heading, joined, list, paragraph, table, type Block, type Runs } from './sheet.ts';

/** A part of the record under its heading; nothing where there is nothing in it. */
const section = (title: string, blocks: readonly Block[]): readonly Block[] =>
  blocks.length === 0 ? [] : [heading(2, title), ...blocks];

const departure = (one: RecordDeparture, naming: Naming): readonly Block[] =>
  facts(
    ['The manual says', one.says],
    ['I did', one.did],
    ['Because', one.because],
    ['Agreed', one.agreed],
    ['At step', one.step],
    ['Overrules', one.code === 'manual' ? undefined : one.code],
    ['Entered', stampText(one, naming)],
  );

const acceptance = (one: RecordDisposition, naming: Naming): Runs | undefined =>
  one.accepted === undefined
    ? undefined
    : joined(
        [
          one['accepted-by'] && naming(one['accepted-by']),
          one.accepted,
          one.letter && ['SHA-256 of the letter ', { code: one.letter }],
        ],
        ', ',
      );

const disposition = (one: RecordDisposition, naming: Naming): readonly Block[] =>
  facts(
    ['Disposition', [{ strong: one.as }]],
    ['Of', joined([one.on, one.step && `step ${one.step}`])],
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

const decisionWords: Readonly<Record<RecordDecision['as'], string>> = {
  comply: 'comply',
  'not-applicable': 'not applicable',
  'record-only': 'record only',
};

const decision = (one: RecordDecision, naming: Naming): readonly Block[] =>
  facts(
    ['Decision', [{ strong: decisionWords[one.as] }]],
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
  if (one['set-aside'] !== undefined) return [`set aside by entry ${one['set-aside']}`];
  return [one.open === 0 ? good('closed') : bad(`${one.open} of ${one.count} open`)];
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
      ['Entered', stampText(one, naming)],
      ...one.closings.map((closing): readonly [string, string] => [
        'Closed',
        `${closing.count}, ${stampText(closing, naming)}`,
      ]),
    ),
  );

/** What an inspector or a buyer wants to see first: where the work is not as the manual has it, and what is not finished. */
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
  ...section('Loose items', loose(document, naming)),
  ...section('Revisions of the manual', [
    ...(document.moves ?? []).flatMap((one) => move(one, naming)),
    ...(document.decisions ?? []).flatMap((one) => decision(one, naming)),
  ]),
];

const lots = (document: RecordDocument, naming: Naming): readonly Block[] =>
  table(
    ['Material', 'Part', 'Lot', 'Made', 'Use by', 'Entered'],
    document.lots.map((lot) => [
      [lot.material],
      lot.part === undefined ? [] : [lot.part],
      [{ strong: lot.number }],
      lot.made === undefined ? [] : [lot.made],
      joined([
        lot['use-by'],
        lot.extended &&
          `extended to ${lot.extended.to}: ${lot.extended.because} (${lot.extended.evidence ?? 'no evidence kept'})`,
      ]),
      [stampText(lot, naming)],
    ]),
  );

const toolRow = (tool: RecordTool): readonly Runs[] => [
  [tool.tool ?? 'none named'],
  [tool.kind],
  tool['in-date-until'] === undefined ? [] : [tool['in-date-until']],
  joined([
    tool.uncertainty && `uncertainty ${tool.uncertainty}`,
    tool.resolution && `resolution ${tool.resolution}`,
    tool.calibration && `calibration ${tool.calibration}`,
  ]),
  joined((tool.found ?? []).map(({ what, when }) => `${what} ${instantText(when)}`)),
  [tool.used.join(', ')].filter(Boolean),
];

const shop = (document: RecordDocument, naming: Naming): readonly Block[] =>
  table(
    ['Air', 'Surface', 'Humidity', 'Entered'],
    document.shop.map((one) => [
      one.temperature === undefined ? [] : [one.temperature],
      one.surface === undefined ? [] : [one.surface],
      one.humidity === undefined ? [] : [one.humidity],
      [stampText(one, naming)],
    ]),
  );

const parks = (document: RecordDocument, naming: Naming): readonly Block[] =>
  document.parks.flatMap((park) =>
    facts(
      ['Parked', `${park.because} (${stampText(park, naming)})`],
      ['Waited for', park['waits-for']],
      ['State', park.state],
      ['Where', park.where],
      [
        'Taken up again',
        park.ended ? joined([park.ended.arrived, stampText(park.ended, naming)]) : [open('still parked')],
      ],
    ),
  );

const interruptions = (document: RecordDocument, naming: Naming): readonly Block[] =>
  table(
    ['Broken off', 'Taken up again', 'Looked at again'],
    document.interruptions.map(({ resumed, ...stamp }) => [
      [stampText(stamp, naming)],
      resumed ? [stampText(resumed, naming)] : [open('not yet')],
      [resumed?.rechecked.join(', ') ?? ''].filter(Boolean),
    ]),
  );

const followUps = (document: RecordDocument): readonly Block[] =>
  list(
    document['follow-ups'].map(({ title, step, at, every, count }) =>
      joined([
        `${title} (${step}): at ${at.join(', ')}`,
        every && `then every ${every}`,
        count && `counted in ${count}`,
      ]),
    ),
  );

/** What stands behind the steps: material, tools, pauses, words. */
export const backgroundBlocks = (document: RecordDocument, naming: Naming): readonly Block[] => [
  ...section('More photos', photoBlocks(document.photos, naming)),
  ...section('Lots', lots(document, naming)),
  ...section(
    'Tools',
    table(['Tool', 'Kind', 'In date until', 'Known of it', 'Found', 'Used for'], document.tools.map(toolRow)),
  ),
  ...section('Shop', shop(document, naming)),
  ...section('Parked', parks(document, naming)),
  ...section('Interruptions', interruptions(document, naming)),
  ...section(
    'Remarks',
    list(document.remarks.map((one) => `${one.text} (${joinedStep(one.step)}${stampText(one, naming)})`)),
  ),
  ...section('Advice', adviceBlocks(document, naming)),
  ...section('To be looked at again', followUps(document)),
];

const joinedStep = (step: string | undefined): string => (step === undefined ? '' : `step ${step}, `);

const adviceBlocks = (document: RecordDocument, naming: Naming): readonly Block[] =>
  document.advice.length === 0
    ? []
    : [
        paragraph('An opinion: it unlocked nothing.'),
        ...list(
          document.advice.map((one) => `${naming(one.from)}: ${one.text} (entered by ${stampText(one, naming)})`),
        ),
      ];

/** Every entry of the job, with the hash of its line. */
export const journalBlocks = (document: RecordDocument, naming: Naming): readonly Block[] => [
  heading(2, 'Entries'),
  paragraph(
    `Each is a line of the journal. The last line that this record knows of is ${document.journal.writer}:${document.journal.seq}, SHA-256 `,
    { code: document.journal.hash },
    '.',
  ),
  ...facts(
    ...document.journal.entries.map((entry): readonly [string, Runs] => [
      entry.entry,
      [
        ...joined([
          entry.type,
          entry.step,
          naming(entry.by),
          timeText(entry),
          entry.also && `signed too by ${entry.also.map(naming).join(', ')}`,
          entry.doubtful && 'the clock was in doubt',
        ]),
        ' ',
        { code: entry.hash },
      ],
    ]),
  ),
];
