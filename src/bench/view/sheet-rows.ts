import { escapeText } from '../../fault/escape.ts';
import { printWith, runText, type Block, type Printers, type Run, type Runs, type Sheet } from '../../report/sheet.ts';
import { columnWidths, rowLines } from '../../report/wrap.ts';
import { widthOf } from '../../report/width.ts';
import { blank, mark, paragraphRows, type Row, type Style } from '../drawing/rows.ts';
import { labelled } from './page.ts';

const plain = (runs: Runs): string => runs.map(runText).join('');

const hues: Readonly<Record<Extract<Run, { state: unknown }>['state'], Style>> = {
  good: 'order',
  bad: 'outside',
  open: 'person',
};

/** The hue of the first mark in a text; its word says the same. */
const styleOf = (runs: Runs): Style => {
  const found = runs.find((run) => typeof run === 'object' && 'state' in run);
  return found && typeof found === 'object' && 'state' in found ? hues[found.state] : 'plain';
};

const tableRows = ({ head, rows }: Extract<Block, { kind: 'table' }>, width: number): readonly Row[] => {
  const cells = [
    head.map((cell) => escapeText(cell)),
    ...rows.map((row) => row.map((runs) => escapeText(plain(runs)))),
  ];
  const wanted = head.map((_, column) => Math.max(...cells.map((row) => widthOf(row[column] ?? ''))));
  const widths = columnWidths(wanted, width);
  return cells.flatMap((row, index) =>
    rowLines(row, widths).map((line): Row => [mark(line, index === 0 ? 'quiet' : 'plain')]),
  );
};

const printersFor = (width: number): Printers<readonly Row[]> => ({
  heading: ({ level, text }) => [...(level === 2 ? [blank] : []), ...paragraphRows(text, width, 'strong')],
  text: ({ runs, tone }) => paragraphRows(plain(runs), width, tone === 'warning' ? 'outside' : styleOf(runs)),
  facts: ({ rows }) => rows.flatMap(([label, runs]) => labelled(label, plain(runs), width, styleOf(runs))),
  table: (one) => tableRows(one, width),
  list: ({ items }) => items.flatMap((runs) => paragraphRows(`- ${plain(runs)}`, width, 'plain', 2)),
  verbatim: ({ lines }) => lines.flatMap((line) => paragraphRows(line, width)),
  large: ({ blocks }) => blocks.flatMap((block) => printWith(printersFor(width), block)),
});

/** A printed sheet as rows of the bench: the same words, at the width that there is. */
export const sheetRows = (sheet: Sheet, width: number): readonly Row[] =>
  sheet.blocks.flatMap((block) => printWith(printersFor(width), block));
