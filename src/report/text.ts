import { escapeText } from '../fault/escape.ts';
import { printWith, runText, type Block, type Printers, type Runs, type Sheet } from './sheet.ts';
import { widthOf } from './width.ts';
import { columnWidths, padTo, rowLines, wrap } from './wrap.ts';

/** The width of the plain form, in columns. */
const textWidth = 80;

const plain = (runs: Runs): string => escapeText(runs.map(runText).join(''));

const hanging = (first: string, rest: string, text: string, width: number): readonly string[] =>
  wrap(text, width - widthOf(first)).map((line, index) => `${index === 0 ? first : rest}${line}`.trimEnd());

const headingLines = (level: 1 | 2 | 3, text: string, width: number): readonly string[] => {
  const lines = wrap(escapeText(text), width);
  const longest = Math.max(...lines.map((line) => widthOf(line)));
  if (level === 1) return ['='.repeat(longest), ...lines, '='.repeat(longest)];
  return level === 2 ? ['', ...lines, '-'.repeat(longest)] : lines;
};

const factLines = (rows: Extract<Block, { kind: 'facts' }>['rows'], width: number): readonly string[] => {
  const labels = rows.map(([label]) => escapeText(label));
  const column = Math.min(24, Math.max(...labels.map((label) => widthOf(label))) + 2);
  return rows.flatMap(([, runs], index) =>
    hanging(padTo(`${labels[index] ?? ''} `, column), ' '.repeat(column), plain(runs), width),
  );
};

const tableLines = ({ head, rows }: Extract<Block, { kind: 'table' }>, width: number): readonly string[] => {
  const cells = [head.map((cell) => escapeText(cell)), ...rows.map((row) => row.map(plain))];
  const wanted = head.map((_, column) => Math.max(...cells.map((row) => widthOf(row[column] ?? ''))));
  const widths = columnWidths(wanted, width);
  const [title, ...body] = cells.map((row) => rowLines(row, widths));
  return [...(title ?? []), widths.map((one) => '-'.repeat(one)).join('  '), ...body.flat()];
};

const printersFor = (width: number): Printers<readonly string[]> => ({
  heading: ({ level, text }) => headingLines(level, text, width),
  text: ({ runs, tone }) =>
    tone === 'warning'
      ? hanging('!! ', '!! ', plain(runs), width)
      : wrap(plain(runs), width).map((line) => line.trimEnd()),
  facts: ({ rows }) => factLines(rows, width),
  table: (one) => tableLines(one, width),
  list: ({ items }) => items.flatMap((runs) => hanging('- ', '  ', plain(runs), width)),
  verbatim: ({ lines }) => lines.map(escapeText),
  large: ({ blocks }) => sheetLines(blocks, width - 2).map((line) => `| ${line}`.trimEnd()),
});

const sheetLines = (blocks: readonly Block[], width: number): readonly string[] =>
  blocks.flatMap((one, index) => [...(index > 0 ? [''] : []), ...printWith(printersFor(width), one)]);

/** A sheet as plain text of 80 columns, for a screen reader, a printer, or ten years from now. */
export const sheetText = (sheet: Sheet): string => `${sheetLines(sheet.blocks, textWidth).join('\n')}\n`;
