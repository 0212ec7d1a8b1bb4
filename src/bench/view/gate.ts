import { gatesKnown, nextGate, sheetNow, type GateNow } from '../../aircraft/gate-now.ts';
import { exceptionWords, gateItemWords, type GateSheet } from '../../job/gate-sheet.ts';
import type { JobState } from '../../job/state.ts';
import { isDone } from '../../job/where.ts';
import { parseInstant } from '../../quantity/time.ts';
import { wallTime } from '../drawing/clock.ts';
import { mark, paragraphRows, span, type Row } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import type { Canvas } from './page.ts';

/** What is open at a gate and what is excepted, one item a paragraph; nothing is left out and nothing cut. */
export const gateRows = (
  { open, excepted }: Pick<GateSheet, 'open' | 'excepted'>,
  { width, marks }: Canvas,
): readonly Row[] => [
  ...(open.length === 0
    ? [[mark('nothing is open', 'quiet')] as Row]
    : open.flatMap((item) => paragraphRows(`${marks.attention} ${gateItemWords(item)}`, width, 'outside', 2))),
  ...excepted.flatMap((item) => paragraphRows(`excepted: ${exceptionWords(item)}`, width, 'person', 2)),
];

const passedWords = ({ passed }: GateNow, { now }: BenchFacts): string => {
  const at = passed === undefined ? undefined : parseInstant(passed);
  return at?.ok === true ? `passed ${wallTime(at.value.ms, now.offset)}` : 'not passed';
};

/** The gate that a job passes next. */
const gateOfJob = (job: JobState | undefined): string | undefined =>
  job?.plan.steps.find((step) => step.gate !== undefined && !isDone(job, step))?.gate;

/** The gate sheets: in full of the gate that comes next, and of the one that this job passes; of the others how much is open. */
export const gateText = (facts: BenchFacts, job: JobState | undefined, canvas: Canvas): readonly Row[] => {
  const gates = gatesKnown(facts.build);
  if (gates.length === 0)
    return paragraphRows('The build names no gate. List them in build.yaml, in their order (gates).', canvas.width);
  const whole = [gateOfJob(job), nextGate(facts.build)];
  return gates.flatMap((gate) => {
    const sheet = sheetNow(facts.build, gate, facts.now.ms);
    const words = `${gate}: ${passedWords(sheet, facts)}, ${sheet.open.length} open`;
    return [[span(words, 'strong')] as Row, ...(whole.includes(gate) ? gateRows(sheet, canvas) : [])];
  });
};
