import { escapeText } from '../../fault/escape.ts';
import { quoted } from '../../quantity/number.ts';
import type { Scale } from '../../quantity/ticks.ts';
import { printOffset } from '../../quantity/time.ts';
import type { Head } from './head.ts';
import type { DayPlace, TimeKind } from './instants.ts';
import type { Log } from './log.ts';

/** The number (from 1) and the heading of a column. @param column from 0. */
export const columnName = ({ names }: Head, column: number): string => {
  const name = names[column] ?? '';
  return name === '' ? `column ${column + 1}` : `column ${column + 1}, ${quoted(name)}`;
};

const others = (head: Head): readonly string[] =>
  head.names.filter((name, column) => name !== '' && ![head.temperature, head.minimum, ...head.time].includes(column));

/** How the file was read, for the journal and for a person. */
export interface LogReading {
  readonly head: Head;
  /** How many lines are above the headings. */
  readonly above: number;
  readonly kind: TimeKind;
  readonly scale: Scale;
  /** Which number of the dates is the day; absent where the form of the dates shows it. */
  readonly place?: DayPlace;
  /** The offset that the headings give, minutes east of UTC. */
  readonly offset?: number;
  /** How many rows were earlier than the row above them. */
  readonly late: number;
  /** How many rows were repeated. */
  readonly twice: number;
}

const ifAny = (name: string, count: number): Readonly<Record<string, string>> =>
  count === 0 ? {} : { [name]: String(count) };

export const readAs = ({ head, kind, scale, place, offset, late, twice }: LogReading): Log['read'] => ({
  times: kind,
  column: String(head.temperature + 1),
  ...(head.minimum === undefined ? {} : { minimum: String(head.minimum + 1) }),
  unit: scale,
  ...(place === undefined ? {} : { dates: place }),
  ...(offset === undefined ? {} : { offset: printOffset(offset) }),
  ...ifAny('late', late),
  ...ifAny('twice', twice),
});

const counted = (count: number, one: string, many: string): readonly string[] =>
  count === 0 ? [] : [`${count} ${count === 1 ? one : many}`];

export const saidOf = ({ head, above, scale, place, offset, late, twice }: LogReading): readonly string[] => {
  const ignored = others(head).map((name) => escapeText(name.slice(0, 40)));
  return [
    `${escapeText(columnName(head, head.temperature))} in ${scale}`,
    ...(head.minimum === undefined
      ? []
      : [`lowest since the row before from ${escapeText(columnName(head, head.minimum))}`]),
    ...(place === undefined ? [] : [`dates ${place.replace('-', ' ')}`]),
    ...(offset === undefined ? [] : [`times at ${printOffset(offset)}, by the headings`]),
    ...counted(above, 'line above the headings passed over', 'lines above the headings passed over'),
    ...(ignored.length > 0 ? [`not read: ${ignored.slice(0, 6).join(', ')}${ignored.length > 6 ? ' …' : ''}`] : []),
    ...counted(
      late,
      'row came before the one above it, and was sorted',
      'rows came before the one above them, and were sorted',
    ),
    ...counted(twice, 'row stood twice, and counts once', 'rows stood twice, and count once'),
  ];
};
