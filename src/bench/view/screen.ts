import type { Marks } from '../drawing/marks.ts';
import { span } from '../drawing/rows.ts';
import { jobById, jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { topPage, type Page, type Session } from '../session/state.ts';
import { frameOf, isDesk, isSmall, mainRows, wholeWidth, widths, type Frame, type Size } from './frame.ts';
import { alarmOf, clockRow, clocksOf } from './clocks.ts';
import { helpContent } from './help.ts';
import { jobName, rivetsOf, signedOn } from './job.ts';
import { backHint, emptyPage, type PageBlock, type Canvas, type PageContent, type PageView } from './page.ts';
import { pageView } from './pages.ts';
import { sideOf } from './side.ts';
import { walkView } from './walk.ts';

/** The job beneath a page, whose place stays in view. */
const jobUnder = (session: Session, shown: Page): string | undefined => {
  const page = shown.page === 'help' ? (session.pages.at(-2) ?? shown) : shown;
  return ['jobs', 'procedures', 'start', 'first', 'cautions'].includes(page.page)
    ? undefined
    : session.pages.findLast((one) => one.page === 'walk' || one.page === 'back' || one.page === 'done')?.job;
};

const contentOf = (session: Session, page: Page, facts: BenchFacts, canvas: Canvas): PageContent => {
  if (page.page === 'help') {
    const beneath = session.pages.at(-2);
    const content = beneath && contentOf({ ...session, pages: session.pages.slice(0, -1) }, beneath, facts, canvas);
    return helpContent(content ?? { text: [], work: [], said: [], hints: [] }, canvas);
  }
  if (page.page !== 'walk') return pageView(session, page, facts, canvas);
  const job = jobById(facts, page.job);
  return job ? walkView(session, page, facts, job, canvas) : { text: [], work: [], said: [], hints: [backHint] };
};

interface Layout {
  readonly canvas: Canvas;
  readonly side: readonly PageBlock[];
}

/** Pages that need the whole width: two revisions side by side, and what is read before there is a build. */
const isWide = (page: Page): boolean =>
  page.page === 'first' || page.page === 'cautions' || (page.page === 'info' && page.info === 'revision');

/** The desk view, where there is something for its column; else the page has the whole width. */
const layoutOf = (session: Session, page: Page | undefined, facts: BenchFacts, size: Size, marks: Marks): Layout => {
  const held = isSmall(size) ? { columns: 40, rows: 12 } : size;
  if (page && isDesk(size, session.view) && !isWide(page)) {
    const { main, side: columns } = widths(held, true);
    const canvas: Canvas = { width: main, rows: mainRows(held), desk: true, side: columns, marks };
    const side = sideOf(facts, jobById(facts, jobUnder(session, page)), canvas);
    if (side.some((block) => block.rows.length > 0)) return { canvas, side };
  }
  const { main } = widths(held, false);
  return { canvas: { width: main, rows: mainRows(held), desk: false, side: 0, marks }, side: [] };
};

const viewOf = (session: Session, page: Page, facts: BenchFacts, size: Size, { canvas, side }: Layout): PageView => {
  const content = contentOf(session, page, facts, canvas);
  const job = jobById(facts, jobUnder(session, page));
  const alarm = alarmOf(facts);
  const clocks = clocksOf(facts, job);
  return {
    ...emptyPage,
    left: job ? [span(jobName(job), 'quiet')] : [],
    right: signedOn(facts, session),
    ...(job ? rivetsOf(jobNow(facts, job), canvas.marks, wholeWidth(size)) : {}),
    ...content,
    clocks: clockRow(clocks),
    side,
    seconds: content.seconds === true || session.armed !== undefined || clocks.some((clock) => clock.seconds),
    ...(alarm ? { alarm } : {}),
  };
};

/** The screen as plain rows, made of the session, the build, the time and the size. */
export const screenOf = (session: Session, facts: BenchFacts, size: Size, marks: Marks): Frame => {
  const page = topPage(session);
  const layout = layoutOf(session, page, facts, size, marks);
  const view = page ? viewOf(session, page, facts, size, layout) : { ...emptyPage, left: [], right: [] };
  return frameOf(view, size, layout.canvas.desk, page?.scroll ?? 0, marks);
};
