import { fromFloat, toSignificant } from '../quantity/rational.ts';
import type { Plot, PlotPoint } from '../trade/plot.ts';

/** The characters of a drawing. They need no colour. */
interface Pens {
  readonly given: string;
  readonly here: string;
  readonly upright: string;
  readonly across: string;
  readonly axis: string;
  readonly corner: string;
  readonly floor: string;
  /** A line in steps of a fraction of a character; without it, in whole characters. */
  readonly fine: boolean;
  readonly line: string;
}

const drawn: Pens = {
  given: '○',
  here: '●',
  upright: '┊',
  across: '╌',
  axis: '│',
  corner: '└',
  floor: '─',
  fine: true,
  line: '',
};

const ascii: Pens = {
  given: 'o',
  here: '#',
  upright: ':',
  across: '-',
  axis: '|',
  corner: '+',
  floor: '-',
  fine: false,
  line: '.',
};

export interface PlotSize {
  /** Columns. */
  readonly width: number;
  /** Rows between the axes. */
  readonly height: number;
}

/** Columns. A narrower plot shows nothing that words would not. */
const least = 24;

const number = (value: number, digits = 4): string => toSignificant(fromFloat(value), digits);

/** The dots of a braille character, by column and row: U+2800 and these bits. */
const dots = [
  [0x01, 0x02, 0x04, 0x40],
  [0x08, 0x10, 0x20, 0x80],
] as const;

interface Field {
  readonly columns: number;
  readonly rows: number;
  /** Where a point is, in columns from the left and rows from the top, fractions included. */
  readonly at: (point: PlotPoint) => { readonly column: number; readonly row: number };
}

const fieldOf = ({ x, y }: Plot, columns: number, rows: number): Field => ({
  columns,
  rows,
  at: (point) => ({
    column: ((point.x - x.from) / (x.to - x.from)) * (columns - 1) + 0.5,
    row: ((y.to - point.y) / (y.to - y.from)) * (rows - 1) + 0.5,
  }),
});

/** The index of the cell at a place, kept inside a row or column of `count` cells. */
const held = (value: number, count: number): number => Math.min(Math.max(Math.floor(value), 0), count - 1);

/** Points along the line, closer together than the dots of a braille character. */
const along = (plot: Plot, field: Field): readonly { readonly column: number; readonly row: number }[] =>
  plot.line.slice(1).flatMap((to, index) => {
    const [a, b] = [field.at(plot.line[index] ?? to), field.at(to)];
    const steps = Math.max(1, Math.ceil(Math.max(Math.abs(b.column - a.column) * 2, Math.abs(b.row - a.row) * 4)));
    return Array.from({ length: steps + 1 }, (_, step) => ({
      column: a.column + ((b.column - a.column) * step) / steps,
      row: a.row + ((b.row - a.row) * step) / steps,
    }));
  });

const drawLine = (cells: string[][], plot: Plot, field: Field, pens: Pens): void => {
  const bits = new Map<string, number>();
  for (const { column, row } of along(plot, field)) {
    const [c, r] = [held(column, field.columns), held(row, field.rows)];
    const dot = dots[column - c < 0.5 ? 0 : 1][held((row - r) * 4, 4)] ?? 0;
    bits.set(`${r} ${c}`, (bits.get(`${r} ${c}`) ?? 0) | dot);
  }
  for (const [key, set] of bits) {
    const [r = 0, c = 0] = key.split(' ').map(Number);
    const line = cells[r];
    if (line) line[c] = pens.fine ? String.fromCodePoint(0x2800 + set) : pens.line;
  }
};

/** The columns and the row of the limits. */
const edgesOf = ({ limits, y }: Plot, field: Field) => {
  const column = (x: number | undefined): number | undefined =>
    x === undefined ? undefined : held(field.at({ x, y: y.from }).column, field.columns);
  return {
    low: column(limits?.low),
    high: column(limits?.high),
    top: limits?.top === undefined ? undefined : held(field.at({ x: 0, y: limits.top }).row, field.rows),
  };
};

const drawLimits = (cells: string[][], plot: Plot, field: Field, pens: Pens): void => {
  const { low, high, top } = edgesOf(plot, field);
  for (const [r, line] of cells.entries()) {
    if (r === top) for (let c = low ?? 0; c <= (high ?? field.columns - 1); c += 1) line[c] = pens.across;
    if (top !== undefined && r < top) continue;
    for (const c of [low, high]) if (c !== undefined) line[c] = pens.upright;
  }
};

/** The cell of the result. Rounding never puts it on the wrong side of a limit. */
const placeOf = (plot: Plot, field: Field): { readonly column: number; readonly row: number } => {
  const { here, limits } = plot;
  const exact = field.at(here);
  const { low, high, top } = edgesOf(plot, field);
  let [column, row] = [held(exact.column, field.columns), held(exact.row, field.rows)];
  if (low !== undefined && limits?.low !== undefined)
    column = here.x < limits.low ? Math.min(column, low - 1) : Math.max(column, low + 1);
  if (high !== undefined && limits?.high !== undefined)
    column = here.x > limits.high ? Math.max(column, high + 1) : Math.min(column, high - 1);
  if (top !== undefined && limits?.top !== undefined)
    row = here.y > limits.top ? Math.min(row, top - 1) : Math.max(row, top + 1);
  return { column: held(column, field.columns), row: held(row, field.rows) };
};

const put = (cells: string[][], column: number, row: number, mark: string): void => {
  const line = cells[row];
  if (line) line[column] = mark;
};

const inside = (plot: Plot, columns: number, rows: number, pens: Pens): readonly string[] => {
  const field = fieldOf(plot, columns, rows);
  const cells = Array.from({ length: rows }, () => Array<string>(columns).fill(' '));
  drawLine(cells, plot, field, pens);
  drawLimits(cells, plot, field, pens);
  for (const point of plot.points) {
    const { column, row } = field.at(point);
    put(cells, held(column, columns), held(row, rows), pens.given);
  }
  const { column, row } = placeOf(plot, field);
  put(cells, column, row, pens.here);
  return cells.map((line) => line.join(''));
};

/**
 * A plot as lines of text, `height` + 3 of them and none wider than `width`: the axes with figures at their ends, and the result's
 * coordinates beneath. No lines at all where the width has no room for a plot.
 */
export const plotLines = (plot: Plot, { width, height }: PlotSize, unicode: boolean): readonly string[] => {
  const pens = unicode ? drawn : ascii;
  const { x, y, here } = plot;
  const ends = [`${number(y.to)} ${y.unit}`, `${number(y.from)} ${y.unit}`];
  const gutter = Math.max(...ends.map((text) => text.length)) + 1;
  const columns = width - gutter - 1;
  if (columns < least) return [];
  const body = inside(plot, columns, height, pens).map((line, row) => {
    const label = row === 0 ? ends[0] : row === height - 1 ? ends[1] : '';
    return `${(label ?? '').padStart(gutter - 1)} ${pens.axis}${line}`.trimEnd();
  });
  const [from, to] = [`${number(x.from)} ${x.unit}`, `${number(x.to)} ${x.unit}`];
  const gap = Math.max(1, columns - from.length - to.length);
  const place = `${pens.here} ${number(here.y)} ${y.unit} at ${number(here.x)} ${x.unit}`;
  return [
    ...body,
    `${' '.repeat(gutter)}${pens.corner}${pens.floor.repeat(columns)}`,
    `${' '.repeat(gutter + 1)}${from}${' '.repeat(gap)}${to}`,
    `${' '.repeat(gutter + 1)}${place}`,
  ];
};

/** The same in words, for somebody who reads line by line. */
export const plotWords = ({ x, y, points, here, limits }: Plot): string => {
  const said = (point: PlotPoint): string => `${number(point.y)} ${y.unit} at ${number(point.x)} ${x.unit}`;
  const bounds = [
    limits?.low === undefined ? '' : `${x.name} from ${number(limits.low)} ${x.unit}`,
    limits?.high === undefined ? '' : `${x.name} to ${number(limits.high)} ${x.unit}`,
    limits?.top === undefined ? '' : `${y.name} to ${number(limits.top)} ${y.unit}`,
  ].filter((text) => text !== '');
  return [
    `${y.name} against ${x.name}: here ${said(here)}`,
    ...(points.length > 0 ? [`given ${points.map(said).join(', ')}`] : []),
    ...(bounds.length > 0 ? [`limits ${bounds.join(', ')}`] : []),
  ].join('; ');
};
