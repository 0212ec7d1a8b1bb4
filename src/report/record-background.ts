import { struckText } from './parts/entered.ts';
import type { RecordDocument, RecordTool } from '../record/document.ts';
import { open } from './marks.ts';
import { partRuns } from './part-runs.ts';
import { keptPhotoRuns, photoBlocks } from './parts/photo.ts';
import { instantText, stampText, type Naming } from './people.ts';
import { facts, joined, list, paragraph, section, table, type Block, type Runs } from './sheet.ts';

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
        lot['stock-use-by'] && `the stock said ${lot['stock-use-by']}; the earlier day counted`,
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
      [
        stampText(one, naming),
        ...(one.struck ?? []).flatMap((was) => ['; before: ', { struck: was.value }, ` ${struckText(was, naming)}`]),
      ],
    ]),
  );

const parks = (document: RecordDocument, naming: Naming): readonly Block[] =>
  document.parks.flatMap((park) =>
    facts(
      ['Parked', `${park.because} (${stampText(park, naming)})`],
      ['Waited for', park['waits-for']],
      ['State', park.state],
      ['Where', park.where],
      ['Photo', park.photo && keptPhotoRuns(park.photo)],
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

/** What was said on taking the job up again where nobody had entered that it was left. */
const takenUp = (document: RecordDocument, naming: Naming): readonly Block[] =>
  list(
    (document['taken-up'] ?? []).map(({ rechecked = [], arrived, ...stamp }) =>
      joined([
        `Coming back, no interruption was entered: ${stampText(stamp, naming)}`,
        rechecked.length === 0 ? undefined : `looked at again: ${rechecked.join(', ')}`,
        arrived && `arrived: ${arrived}`,
      ]),
    ),
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

/** What a reader looks up after the steps: material, tools, shop, pauses, remarks, what is due again. */
export const backgroundBlocks = (document: RecordDocument, naming: Naming): readonly Block[] => [
  ...section('More photos', photoBlocks(document.photos, naming)),
  ...section('Lots', lots(document, naming)),
  ...section('Parts of no step', list((document.parts ?? []).map((one) => partRuns(one, naming)))),
  ...section(
    'Tools',
    table(['Tool', 'Kind', 'In date until', 'Known of it', 'Found', 'Used for'], document.tools.map(toolRow)),
  ),
  ...section('Shop', shop(document, naming)),
  ...section('Parked', parks(document, naming)),
  ...section('Interruptions', [...interruptions(document, naming), ...takenUp(document, naming)]),
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
