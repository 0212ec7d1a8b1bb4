import type { FixedLimits } from '../../quantity/limits.ts';
import { toBase, type Quantity } from '../../quantity/quantity.ts';
import type { Marks } from './marks.ts';
import { widthOf } from '../../report/width.ts';
import { mark, span, type Row } from './rows.ts';

interface Scale {
  readonly from: number;
  readonly to: number;
}

const baseOf = (quantity: Quantity): number => toBase(quantity).valueOf();

/**
 * What the axis spans, in base units. With two limits: from one to the other. With one: from zero to it, where that makes sense (`at most
 * 0.15 mm` of a length), else far enough from the limit that the value shows.
 */
const scaleOf = (limits: FixedLimits, value: Quantity | undefined): Scale | undefined => {
  const low = limits.low && baseOf(limits.low.at);
  const high = limits.high && baseOf(limits.high.at);
  const at = value && baseOf(value);
  if (low !== undefined && high !== undefined) return { from: low, to: high };
  if (high !== undefined) {
    const temperature = limits.high?.at.unit.dimension === 'temperature';
    if (high > 0 && !temperature) return { from: 0, to: high };
    return { from: at !== undefined && at < high ? at - (high - at) / 4 : high - 1, to: high };
  }
  if (low === undefined) return undefined;
  return { from: low, to: at !== undefined && at > low ? at + (at - low) / 4 : low + Math.max(1, Math.abs(low)) };
};

/** Columns beyond either end of the axis, where a value outside its limits is drawn. */
const margin = 2;

/**
 * A value and its limits, drawn: `├────────●─┤ at most 0.15 mm`. `within` is the engine's verdict. The mark is between the ends where it
 * is within and beyond them where it is not, however the columns round.
 */
export const gauge = (
  limits: FixedLimits,
  value: Quantity | undefined,
  within: boolean | undefined,
  marks: Marks,
  width: number,
): Row => {
  const words = limits.text;
  const room = Math.min(40, width - widthOf(words) - 1 - 2 * margin);
  const scale = scaleOf(limits, value);
  if (room < 8 || !scale || scale.to <= scale.from) return [span(words, 'quiet')];
  const inner = room - 2;
  const position = (at: number): number => Math.round(((at - scale.from) / (scale.to - scale.from)) * (inner - 1));
  const cells = [
    ...Array<string>(margin).fill(' '),
    limits.low || scale.from === 0 ? marks.axisLow : marks.axis,
    ...Array<string>(inner).fill(marks.axis),
    limits.high ? marks.axisHigh : marks.axis,
    ...Array<string>(margin).fill(' '),
  ];
  if (value === undefined || within === undefined) return [mark(cells.join('')), span(` ${words}`, 'quiet')];
  const raw = position(baseOf(value));
  const above = limits.high !== undefined && baseOf(value) >= baseOf(limits.high.at);
  const cell = within
    ? margin + 1 + Math.min(Math.max(raw, 0), inner - 1)
    : above
      ? margin + inner + 2 + Math.min(Math.max(raw - inner, 0), margin - 1)
      : margin - 1 - Math.min(Math.max(-raw - 1, 0), margin - 1);
  return [
    mark(cells.slice(0, cell).join('')),
    within ? mark(marks.at, 'order') : mark(marks.outside, 'outside'),
    mark(cells.slice(cell + 1).join('')),
    span(` ${words}`, 'quiet'),
  ];
};
