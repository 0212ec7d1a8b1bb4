import type { RecordFinding, RecordHold, RecordLook } from '../../record/parts/hold.ts';
import { bad, good, open } from '../marks.ts';
import { stampText, timeText, type Naming } from '../people.ts';
import { facts, heading, joined, list, paragraph, type Block, type Run } from '../sheet.ts';
import type { PrintedPart } from './part.ts';

/** What a release means: on the spot, from elsewhere or by the performer, so that none is taken for another. */
const releaseText = (hold: RecordHold, { as }: RecordLook): string => {
  if (hold.kind === 'witness point') return as === 'remote' ? 'witness looked from elsewhere' : 'witness came';
  if (as === 'remote') return 'hold released, from elsewhere';
  return as === 'present' ? 'hold released' : 'hold released, by the performer';
};

const lookMark = (hold: RecordHold, look: RecordLook): Run => {
  if (look.voided !== undefined) return bad(`${releaseText(hold, look)}; void since entry ${look.voided}`);
  if (look.kind === 'refuse') return bad('refused');
  if (look.kind === 'reinspect') return open('looked again, hold not released');
  if (look.kind === 'invite') return open('invited');
  return good(releaseText(hold, look));
};

/** A remote look and one at own work are named in full, so that nobody takes them for an independent look on the spot. */
const asText: Readonly<Record<RecordLook['as'], string>> = {
  present: 'present, looked at the work',
  remote: 'REMOTE: looked from elsewhere',
  're-inspection by the performer': 'RE-INSPECTION BY THE PERFORMER: not an independent inspection',
  invitation: '',
};

const lookBlocks = (hold: RecordHold, look: RecordLook, naming: Naming): readonly Block[] =>
  facts(
    ['Look', [lookMark(hold, look)]],
    [
      'By',
      look.kind === 'invite'
        ? look.who && naming(look.who)
        : joined([[{ strong: naming(look.person) }], look.power], ', as '),
    ],
    ['How', look.kind === 'invite' ? look.how : asText[look.as]],
    [look.kind === 'release' ? 'Closes findings' : 'Findings', look.findings.join(', ')],
    ['Remark', look.remark],
    ['Shown', look.shown],
    ['Not judged', look['not-judged']],
    ['Reason', look.reason],
    ['When', timeText(look)],
    ['Entered by', look.by === look.person && look.kind !== 'invite' ? undefined : naming(look.by)],
    ['Signed answer', look.answer && [look.answer.file, ', SHA-256 ', { code: look.answer.sha256 }]],
  );

const findingBlocks = (finding: RecordFinding, naming: Naming): readonly Block[] =>
  facts(
    [`Finding ${finding.finding}`, [{ strong: finding.text }]],
    ['By', `${naming(finding.person)}, ${timeText(finding)}`],
    ['Entered by', finding.by === finding.person ? undefined : naming(finding.by)],
    ...finding.answers.map((answer): readonly [string, string] => [
      'Answer',
      `${answer.remark} (${stampText(answer, naming)})`,
    ]),
    ['Answer', finding.answers.length === 0 ? [open('none')] : undefined],
    ['Closed', finding.closed ? [good(stampText(finding.closed, naming))] : [open('open')]],
  );

const cameOrLooked = (hold: RecordHold): boolean => hold.looks.some(({ kind }) => kind !== 'invite');

/** What the hold asks for, and every look and finding of it so far. */
export const holdFacts = (hold: RecordHold, naming: Naming): readonly Block[] => [
  heading(3, hold.kind === 'hold point' ? `HOLD POINT: ${hold.by}` : `Witness point: ${hold.by}`),
  ...facts(
    ['Steps inspected', hold.of.join(', ')],
    ['Work done by', hold.performers.map(naming).join(', ')],
    ['Remote', hold['remote-allowed'] ? 'allowed' : 'not allowed'],
    ['Own work', hold['self-after'] && `may be looked at again by the performer after ${hold['self-after']}`],
  ),
  ...(hold['look-for'].length > 0 ? [paragraph('To look for:'), ...list(hold['look-for'])] : []),
  ...hold.looks.flatMap((look) => lookBlocks(hold, look, naming)),
  ...hold.findings.flatMap((finding) => findingBlocks(finding, naming)),
];

/** Where nobody looked: a finished witness point says whom it waited for in vain. */
const nobodyText = (hold: RecordHold, isFinished: boolean, naming: Naming): string => {
  if (hold.kind === 'hold point') return 'Nobody has looked.';
  const invited = hold.looks.flatMap(({ kind, who }) => (kind === 'invite' && who !== undefined ? [naming(who)] : []));
  if (!isFinished) return 'Nobody has come so far.';
  return invited.length > 0
    ? `The witness did not come: ${invited.join(', ')}. The work went on without them.`
    : 'No witness came. The work went on without one.';
};

const holdBlocks = (hold: RecordHold, isFinished: boolean, naming: Naming): readonly Block[] => [
  {
    kind: 'large',
    blocks: [
      ...holdFacts(hold, naming),
      ...facts(['Not done', hold['not-done'] && [bad(hold['not-done'].join(', '))]]),
      ...(cameOrLooked(hold) ? [] : [paragraph(nobodyText(hold, isFinished, naming))]),
    ],
  },
];

/** A hold point or witness point, in larger print. A refusal is never left out. */
export const printedHold: PrintedPart = ({ hold, state }, naming) =>
  hold ? holdBlocks(hold, state === 'finished', naming) : [];
