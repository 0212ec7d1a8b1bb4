import { listRows } from '../drawing/list.ts';
import type { Marks } from '../drawing/marks.ts';
import { blank, fit, mark, pad, rowWidth, spreadApart, type Row, type Span } from '../drawing/rows.ts';
import type { PageBlock, Hint, ListView, PageView } from './page.ts';

export interface Size {
  readonly columns: number;
  readonly rows: number;
}

/** A whole screen: exactly `size.rows` rows of at most `size.columns` columns. */
export interface Frame {
  readonly kind: 'bench' | 'desk' | 'small';
  readonly head: readonly Row[];
  readonly main: readonly Row[];
  /** Beside `main`, of the same height; empty in the bench view. */
  readonly side: readonly Row[];
  readonly foot: readonly Row[];
  readonly mainWidth: number;
  readonly sideWidth: number;
  /** How many rows the text is scrolled by, kept within the text. */
  readonly scroll: number;
  /** True where text follows below what is shown. */
  readonly more: boolean;
  readonly seconds: boolean;
}

/** The smallest terminal in which the bench can be used. */
const least: Size = { columns: 40, rows: 12 };

const deskFrom: Size = { columns: 80, rows: 24 };

export const isSmall = ({ columns, rows }: Size): boolean => columns < least.columns || rows < least.rows;

export const isDesk = (size: Size, view: 'by size' | 'bench' | 'desk'): boolean =>
  view !== 'bench' && size.columns >= deskFrom.columns && size.rows >= deskFrom.rows;

/** Lines longer than this are hard to read. */
const widestMain = 100;
const gutter = 3;

export const widths = (size: Size, desk: boolean): { readonly main: number; readonly side: number } => {
  if (!desk) return { main: Math.min(size.columns - 2, widestMain), side: 0 };
  const side = Math.min(60, Math.max(26, Math.floor((size.columns - gutter) * 0.39)));
  return { main: Math.min(widestMain, size.columns - 1 - gutter - side), side };
};

/** Columns of the first row, from the name of the job to who is signed on. The same on every page. */
export const wholeWidth = (size: Size): number => {
  const { main, side } = widths(size, size.columns >= deskFrom.columns);
  return Math.min(size.columns - 1, side > 0 ? main + gutter + side : main);
};

/** Rows between the head (job, rivet line, alarm) and the foot (keys, clocks) of a page with a rivet line. */
export const mainRows = (size: Size): number => Math.max(0, size.rows - 5);

const indent = (spans: Row): Row => (spans.length === 0 ? spans : [mark(' '), ...spans]);

/** The first hints, as many as fit, with three spaces between. */
const hintRow = (hints: readonly Hint[], width: number): Row => {
  const spans: Span[] = [];
  for (const { key, does } of hints) {
    const gap = spans.length > 0 ? 3 : 0;
    const next = [mark(`${' '.repeat(gap)}${key}`, 'strong'), mark(key === '' ? does : `: ${does}`)];
    if (rowWidth([...spans, ...next]) > width) break;
    spans.push(...next);
  }
  return spans;
};

/** Short items in two columns, without their asides; undefined where an item is too wide for that. */
const twoColumns = (list: ListView, marks: Marks, width: number): readonly Row[] | undefined => {
  const half = Math.floor(width / 2);
  const cells = list.items.map((item, index) => {
    const here = index === list.selected;
    const digit = index < 9 ? String(index + 1) : ' ';
    return [mark(`${here ? marks.pointer : ' '}${digit} `, here ? 'strong' : 'quiet'), ...item.row];
  });
  if (cells.some((cell) => rowWidth(cell) > half)) return undefined;
  const rows: Row[] = [];
  for (let index = 0; index < cells.length; index += 2)
    rows.push([...pad(cells[index] ?? [], half), ...(cells[index + 1] ?? [])]);
  return rows;
};

/** How many rows the list has: all of it where the text leaves room, else what is left beside three rows of text. */
const listHeight = (list: ListView, room: number, text: number): number => {
  const all = list.items.length;
  const leaves = Math.max(2, room - Math.min(text, 3));
  return Math.min(all, Math.max(leaves, room - text), room);
};

/** A list as high as it may be. It is in two columns where the text above it would otherwise have to be scrolled. */
const drawList = (list: ListView, marks: Marks, width: number, room: number, text: number): readonly Row[] => {
  const isTooLong = list.items.length > room - text && list.items.length <= 2 * room;
  const columns = isTooLong ? twoColumns(list, marks, width) : undefined;
  if (columns) return columns;
  return listRows(list.items, list.selected ?? -1, marks, width, listHeight(list, room, text));
};

interface Body {
  readonly rows: readonly Row[];
  readonly scroll: number;
  readonly more: boolean;
}

const layBody = (page: PageView, scroll: number, marks: Marks, width: number, height: number): Body => {
  const said = page.said.slice(0, Math.max(1, Math.min(Math.ceil(height / 2), height - page.work.length - 1)));
  const work = page.work.slice(0, Math.max(0, height - said.length));
  const free = height - said.length - work.length;
  const list = page.list ? drawList(page.list, marks, width, free, page.text.length) : [];
  const room = Math.max(0, free - list.length);
  const hidden = Math.max(0, page.text.length - room);
  const held = Math.min(scroll, hidden);
  const text = page.text.slice(held, held + room);
  let spare = room - text.length;
  const gap = (wantedHere: boolean): readonly Row[] => (wantedHere && spare > 0 ? ((spare -= 1), [blank]) : []);
  const afterText = gap(text.length > 0 && list.length + work.length > 0);
  const beforeSaid = gap(said.length > 0);
  const afterList = gap(list.length > 0 && work.length > 0);
  const rows = [...text, ...afterText, ...list, ...afterList, ...work, ...beforeSaid, ...said];
  return {
    rows: [...rows, ...Array<Row>(Math.max(0, height - rows.length)).fill(blank)],
    scroll: held,
    more: hidden > held,
  };
};

const sideRows = (blocks: readonly PageBlock[], width: number, height: number): readonly Row[] => {
  const rows = blocks
    .filter((block) => block.rows.length > 0)
    .flatMap((block, index) => [
      ...(index > 0 ? [blank] : []),
      [mark(block.title, 'strong')] as Row,
      ...block.rows.map((line) => fit(line, width)),
    ])
    .slice(0, height);
  return [...rows, ...Array<Row>(Math.max(0, height - rows.length)).fill(blank)];
};

const tooSmall = (size: Size): Frame => ({
  kind: 'small',
  head: [],
  main: Array.from({ length: Math.max(1, size.rows) }, (_, index) =>
    index === 0
      ? fit([mark('terminal too small')], size.columns)
      : index === 1
        ? fit([mark(`${least.columns} x ${least.rows} is the least`)], size.columns)
        : blank,
  ),
  side: [],
  foot: [],
  mainWidth: size.columns,
  sideWidth: 0,
  scroll: 0,
  more: true,
  seconds: false,
});

/** Lays a page out, whatever it is about. `scroll` in rows. */
export const frameOf = (page: PageView, size: Size, desk: boolean, scroll: number, marks: Marks): Frame => {
  if (isSmall(size)) return tooSmall(size);
  const { main, side } = widths(size, desk);
  const whole = wholeWidth(size);
  const lined = page.line ? [indent(spreadApart(page.line, page.place ?? [], whole))] : [];
  const head = [
    indent(spreadApart(page.left, page.right, whole)),
    ...lined,
    page.alarm ? indent(fit(page.alarm, whole)) : blank,
  ];
  const height = size.rows - head.length - 2;
  const body = layBody(page, page.paged ? 0 : scroll, marks, main, height);
  const isMore = page.paged ? page.paged.at < page.paged.of - 1 : body.more;
  const hints =
    body.more && !page.paged
      ? [...page.hints.slice(0, 1), { key: marks.down, does: 'more' }, ...page.hints.slice(1)]
      : page.hints;
  return {
    kind: desk ? 'desk' : 'bench',
    head,
    main: body.rows.map((line) => indent(fit(line, main))),
    side: desk ? sideRows(page.side, side, height) : [],
    foot: [indent(hintRow(hints, whole)), indent(fit(page.clocks, whole))],
    mainWidth: main + 1,
    sideWidth: side,
    scroll: page.paged ? page.paged.at : body.scroll,
    more: isMore,
    seconds: page.seconds,
  };
};

/** The frame as text, row by row, for tests and for people. */
export const frameText = (frame: Frame, marks: Marks): readonly string[] => {
  const plain = (spans: Row): string => spans.map(({ text }) => text).join('');
  const middle = frame.main.map((line, index) => {
    const beside = frame.side[index];
    return beside ? `${plain(pad(line, frame.mainWidth))} ${marks.divider} ${plain(beside)}` : plain(line);
  });
  return [...frame.head.map(plain), ...middle, ...frame.foot.map(plain)].map((line) => line.trimEnd());
};
