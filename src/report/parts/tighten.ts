import type { RecordFastener, RecordTighten } from '../../record/parts/tighten.ts';
import { verdictMark } from '../marks.ts';
import { stampText, type Naming } from '../people.ts';
import { facts, heading, joined, type Block, type Runs } from '../sheet.ts';
import { refusedText, setAsideText, struckText, triesText, verdictOn } from './entered.ts';
import type { PrintedPart } from './part.ts';

const fastenerFacts = (act: RecordFastener, naming: Naming): readonly Block[] =>
  facts(
    ...act.struck.map((one): readonly [string, Runs] => [
      `Fastener ${act.fastener}`,
      [{ struck: one.value }, `; ${stampText(one, naming)}; ${struckText(one, naming)}`],
    ]),
    [`Fastener ${act.fastener}`, joined([verdictOn(act), act.mark ? '✓ marked' : 'no mark'])],
    ['Refused', refusedText(act.refused)],
    ['Decided by', act['by-page'] && `revision ${act['by-page'].revision} (${act['by-page'].limits})`],
    ['By the page of now', act['verdict-now'] && verdictMark(act['verdict-now'])],
    ['Wrench showed', act.torque === undefined ? undefined : [{ strong: act.torque }]],
    ['Wrench had to show', act['wrench-limits']],
    ['Drag', act.drag],
    ['At the fastener', act['at-fastener']],
    ['By hand', act['finger-tight']],
    ['Past finger-tight', act.past],
    ['Tool', act.tool],
    ['Tightened again', act.reason],
    ['Entered', stampText(act, naming)],
    ['Set aside', setAsideText(act['set-aside'])],
  );

const tightenBlocks = (tighten: RecordTighten, naming: Naming): readonly Block[] => [
  heading(3, 'Tightening'),
  ...facts(
    ['Fasteners', `${tighten.fasteners}, in the order ${tighten.order.join(', ')}`],
    ['Torque', tighten.torque],
    ['Drag', tighten.drag],
    ['Adapter', tighten.adapter],
    ['Wrench', tighten.wrench],
    ['Finger-tight', tighten['finger-tight']],
    ['Past finger-tight', tighten.past],
    ['Tries', triesText(tighten['tries-allowed'])],
    ['Never', tighten.never],
    ['Mark', tighten.mark ? 'a torque mark on each' : undefined],
    ['Source', tighten.source],
  ),
  ...tighten.entered.flatMap((act) => fastenerFacts(act, naming)),
];

/** The part's own method, and each fastener as it was entered. */
export const printedTighten: PrintedPart = ({ tighten }, naming) => (tighten ? tightenBlocks(tighten, naming) : []);
