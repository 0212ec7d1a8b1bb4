import { allLatest, resultNow } from '../../job/values.ts';
import { ownVerdict, verdictOfResult } from '../../job/verdicts.ts';
import type { Step } from '../../procedure/model.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { cut, mark, rowWidth, span, widthOf, type Row, type Style } from '../drawing/rows.ts';
import type { Placed } from './job.ts';
import type { Canvas } from './page.ts';

/** Marks, and how wide a row may be. */
export type Sized = Pick<Canvas, 'marks' | 'width'>;

/** A name that gives way keeps its last word, which says where: `thick.. forward`. */
const shortened = (name: string, room: number): string => {
  const last = name.split(' ').at(-1) ?? '';
  const left = room - widthOf(last) - 1;
  return widthOf(name) <= room || last === name || left < 4
    ? cut(name, room)
    : `${cut(name.slice(0, -last.length - 1), left)} ${last}`;
};

/** One value with its verdict; where the row is short, its name gives way and never the verdict. */
const valueRow = (
  name: string,
  value: string,
  verdict: string | undefined,
  { marks, width }: Sized,
  note?: string,
): Row => {
  const sign =
    verdict === 'within'
      ? marks.within
      : verdict === 'outside'
        ? marks.not
        : verdict === 'undecided'
          ? marks.undecided
          : ' ';
  const style: Style =
    verdict === 'within' ? 'order' : verdict === 'outside' ? 'outside' : verdict === 'undecided' ? 'person' : 'plain';
  const end = [span(value), ...(verdict === undefined ? [] : [mark(` ${verdict}`, style)])];
  const noted = note === undefined ? end : [...end, mark(` ${note}`, 'quiet')];
  const whole = rowWidth(noted) + widthOf(name) + 3 <= width ? noted : end;
  const room = Math.max(6, width - rowWidth(whole) - 3);
  return [mark(`${sign} `, style), span(`${shortened(name, room)} `, 'quiet'), ...whole];
};

/** A step's values and results as they stand, each with its verdict in word, mark and colour. */
export const valuesOfStep = ({ job }: Placed, step: Step, sized: Sized): readonly Row[] => [
  ...step.readings.flatMap((reading) =>
    allLatest(job, reading).map((taken) =>
      valueRow(
        [reading.reading, taken.position ?? '', reading.times > 1 ? String(taken.n) : '']
          .filter((part) => part !== '')
          .join(' '),
        taken.value,
        ownVerdict(job, reading, taken),
        sized,
        taken.calculated && 'calculated',
      ),
    ),
  ),
  ...step.results.flatMap((result) => {
    const now = resultNow(job, result.result)?.quantity;
    return now ? [valueRow(result.result, printQuantity(now), verdictOfResult(job, result), sized)] : [];
  }),
];

export const allValues = (here: Placed, sized: Sized): readonly Row[] =>
  here.job.plan.steps.flatMap((step) => valuesOfStep(here, step, sized));
