import { holdBrief, type BriefSection } from '../../report/hold-brief.ts';
import type { BriefLine } from '../../report/hold-brief-line.ts';
import { memoisedBy } from '../../fault/memo.ts';
import type { RecordDocument } from '../../record/document.ts';
import type { Step } from '../../procedure/model.ts';
import { blank, mark, paragraphRows, spreadApart, type Row, type Style } from '../drawing/rows.ts';
import type { Marks } from '../drawing/marks.ts';
import { recordNow } from '../inspection-now.ts';
import type { JobNow } from '../job-now.ts';
import type { Canvas } from './page.ts';

const styles: Readonly<Record<BriefLine['tone'], Style>> = {
  plain: 'plain',
  quiet: 'quiet',
  strong: 'strong',
  good: 'order',
  bad: 'outside',
  open: 'person',
};

const signOf = (tone: BriefLine['tone'], marks: Marks): string =>
  ({ plain: '', quiet: '', strong: '', good: `${marks.within} `, bad: `${marks.not} `, open: `${marks.attention} ` })[
    tone
  ];

/** One line of the brief; what belongs to the line above is set in. */
const lineRows = ({ text, tone }: BriefLine, { width, marks }: Canvas): readonly Row[] => {
  const indent = text.startsWith('  ') ? 2 : 0;
  return paragraphRows(`${signOf(tone, marks)}${text.trim()}`, width - indent, styles[tone], 2).map((row) =>
    indent === 0 ? row : [mark('  '), ...row],
  );
};

const briefOf = memoisedBy((document: RecordDocument, hold: string) => holdBrief(document, hold));

const sectionRows = ({ title, lines }: BriefSection, canvas: Canvas): readonly Row[] => [
  ...paragraphRows(title, canvas.width, 'strong'),
  ...lines.flatMap((line) => lineRows(line, canvas)),
];

/** From so many rows on, a blank one is between two sections. */
const roomForGaps = 12;

/** The pages of a hold, each as high as there is room for, and the last with room for the answers. */
export interface HoldPages {
  readonly rows: readonly Row[];
  /** Counted from 0. */
  readonly at: number;
  readonly of: number;
}

/** Rows cut into pages of so many; the last page may hold `last`. */
const paged = (rows: readonly Row[], each: number, last: number): readonly (readonly Row[])[] => {
  const pages: Row[][] = [];
  for (let from = 0; from < rows.length; from += each) pages.push(rows.slice(from, from + each));
  // The answers are beneath the last page: what has no room beside them goes onto a page before.
  if ((pages.at(-1)?.length ?? 0) > last) pages.push([]);
  return pages.length === 0 ? [[]] : pages;
};

/**
 * What the second person reads, page by page; the answers are offered on the last page alone. `at` is the page that is asked for.
 * @param answers rows that the list of answers takes.
 */
export const holdPages = (here: JobNow, step: Step, canvas: Canvas, at: number, answers: number): HoldPages => {
  const sections = briefOf(recordNow(here), step.step);
  const rows = sections.flatMap((section, index) => [
    ...(index > 0 && canvas.rows >= roomForGaps ? [blank] : []),
    ...sectionRows(section, canvas),
  ]);
  // One row says which page it is, one what was entered last.
  const each = Math.max(2, canvas.rows - 2);
  const pages = paged(rows, each, Math.max(1, each - answers - 1));
  const index = Math.min(Math.max(0, at), pages.length - 1);
  const head = spreadApart(
    [mark(step.hold?.kind === 'witness' ? 'Witness point' : 'Inspection', 'strong')],
    [mark(`page ${index + 1} of ${pages.length}`, 'strong')],
    canvas.width,
  );
  const isLast = index === pages.length - 1;
  const shown = pages[index] ?? [];
  const empty: readonly Row[] = shown.length === 0 && isLast ? [[mark('You have read all of it.', 'quiet')]] : [];
  return { rows: [head, ...shown, ...empty], at: index, of: pages.length };
};
