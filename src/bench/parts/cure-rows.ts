import Fraction from 'fraction.js';
import type { Cure, Step } from '../../procedure/model.ts';
import { uncountedWhy } from '../../job/uncounted.ts';
import { cureNow, type CureNow, type StageNow } from '../../job/cure.ts';
import { makeQuantity, printQuantity, toBase } from '../../quantity/quantity.ts';
import { kelvinOf } from '../../quantity/ticks.ts';
import { spanWords, spokenTime } from '../drawing/clock.ts';
import { cureCurve, cureStrip, progressBar, type CurveCells, type CurveWords } from '../drawing/curve.ts';
import { mark, rowWidth, span, type Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import { marked, type Canvas } from '../view/page.ts';

/** How much of the cure counted and the time by the clock, on one row or, where that is too long, on two. */
const hoursRows = (now: CureNow, stage: StageNow, width: number): readonly Row[] => {
  const counted: Row = [
    mark(`${stage.stage}: counted `, 'quiet'),
    ...(stage.needMs === undefined
      ? [mark(`${stage.percent} %`, 'strong')]
      : [mark(spanWords(stage.countedMs), 'strong'), mark(` of ${spanWords(stage.needMs)}`)]),
  ];
  const clock: Row = [mark('clock ', 'quiet'), mark(spanWords(now.clockMs))];
  const one: Row = [...counted, mark(', '), ...clock];
  return rowWidth(one) <= width ? [one] : [counted, clock];
};

const forecastRow = ({ facts }: JobNow, stage: StageNow, now: CureNow): Row => {
  if (stage.reached) return [mark(`${stage.stage} is reached`, 'order')];
  const at = stage.forecast;
  const last = now.last?.temperature;
  if (at === undefined)
    return [
      mark(
        now.last
          ? `no forecast: ${now.last.temperature} is too cold to count`
          : 'nothing counts before the first temperature',
        'quiet',
      ),
    ];
  const when = spokenTime(at, facts.now.ms, facts.now.offset);
  return [span(`ready about ${when}, if it stays ${last ?? ''}`, 'quiet')];
};

/** The last stretch of time that did not count, and why. */
const lostRows = ({ facts }: JobNow, step: Step, now: CureNow, { marks, width }: Canvas): readonly Row[] => {
  const lost = now.intervals.findLast((interval) => !interval.counted);
  if (!lost) return [];
  const time = (ms: number): string => spokenTime(ms, facts.now.ms, facts.now.offset);
  return marked(
    marks.attention,
    `did not count: ${time(lost.from)} to ${time(lost.to)}, ${uncountedWhy(step, lost)}`,
    width,
    'person',
  ).slice(0, 2);
};

/** A wider curve would show no more; in columns. */
const widest = 72;
/** From so many rows on, a curve of two rows is drawn whole. */
const roomForStrip = 10;
/** Rows that the rest of such a screen needs, and the most that a curve is given. */
const [others, tallest] = [12, 14];

/** The curve of the temperature: to scale in the desk view, else in two rows. */
const curveRows = ({ facts }: JobNow, cure: Cure, now: CureNow, canvas: Canvas): readonly Row[] => {
  const [floor, scale] = [toBase(cure.floor).valueOf(), cure.floor.unit];
  const height = canvas.desk ? Math.min(tallest, Math.floor((canvas.rows - others) / 2)) : 0;
  const inScale = (count: number): CurveCells =>
    now.cells(count).map((cell) => cell && { warmth: kelvinOf(cell.cold).valueOf(), counted: cell.counted });
  if (now.begun === undefined || now.intervals.length === 0) return [];
  if (height < 3) {
    const strip = cureStrip(inScale(Math.min(60, canvas.width)), floor, canvas.marks);
    return canvas.rows < roomForStrip ? strip.slice(0, 1) : strip;
  }
  const perDegree = toBase(makeQuantity(new Fraction(1), scale))
    .sub(toBase(makeQuantity(new Fraction(0), scale)))
    .valueOf();
  const words: CurveWords = {
    floor: printQuantity(cure.floor),
    degrees: (fromFloor) => (cure.floor.amount.valueOf() + fromFloor / perDegree).toFixed(1),
    from: spokenTime(now.begun, facts.now.ms, facts.now.offset),
    to: 'now',
  };
  const width = Math.min(widest, canvas.width - words.floor.length - 2);
  return cureCurve(inScale(width), floor, words, canvas.marks, height);
};

/** Rows of a screen that the question, its field and the answer need. */
const toAsk = 3;

/** Of groups of rows, given with what matters most first, as many as there is room for; in the order in which they are shown. */
const fitting = (
  groups: readonly { readonly place: number; readonly rows: readonly Row[] }[],
  room: number,
): readonly Row[] => {
  let left = room;
  return groups
    .filter(({ rows }) => (rows.length <= left ? ((left -= rows.length), true) : false))
    .toSorted((one, other) => one.place - other.place)
    .flatMap(({ rows }) => rows);
};

/**
 * The hours by the clock beside the hours that counted, how much of what is needed that is, what did not count, the curve of the temperature,
 * and when the stage should be reached. A small screen leaves out what matters least, never the field.
 */
export const cureWork = (here: JobNow, step: Step, canvas: Canvas): readonly Row[] => {
  const cure = step.cure;
  const now = cureNow(here.job, step, here.around, here.facts.now.ms);
  const stage = now?.stages.find((one) => one.stage === now.until);
  if (!cure || !now || !stage) return [];
  if (now.begun === undefined) return [[mark('the cure has not begun', 'person')]];
  return fitting(
    [
      { place: 1, rows: hoursRows(now, stage, canvas.width) },
      { place: 2, rows: [progressBar(stage, canvas.marks, Math.min(widest, canvas.width))] },
      { place: 4, rows: lostRows(here, step, now, canvas) },
      { place: 3, rows: curveRows(here, cure, now, canvas) },
      { place: 5, rows: [forecastRow(here, stage, now)] },
    ],
    canvas.rows - toAsk,
  );
};
