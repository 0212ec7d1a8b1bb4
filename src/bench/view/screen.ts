import type { Marks } from '../parts/marks.ts';
import { span } from '../parts/rows.ts';
import type { World } from '../ports.ts';
import { topPage, type Page, type Session } from '../session/state.ts';
import { jobOf } from '../session/walk.ts';
import { frameOf, isDesk, isSmall, widths, type Frame, type Size } from './frame.ts';
import { alarmOf, clockRow, clocksOf } from './clocks.ts';
import { jobName, placed, rivetsOf, signedOn } from './job.ts';
import { backHint, emptyPage, type Canvas, type Middle, type PageView } from './page.ts';
import { pageView } from './pages.ts';
import { sideOf } from './side.ts';
import { walkView } from './walk.ts';

/** The job that a page stands over, where it stands over one: its place stays in view. */
const jobUnder = (session: Session, page: Page): string | undefined =>
  ['jobs', 'procedures', 'start', 'first', 'cautions'].includes(page.page)
    ? undefined
    : session.pages.findLast((one) => one.page === 'walk' || one.page === 'back' || one.page === 'done')?.job;

const middleOf = (session: Session, page: Page, world: World, canvas: Canvas): Middle => {
  if (page.page !== 'walk') return pageView(session, page, world, canvas);
  const job = jobOf(world, page.job);
  return job ? walkView(session, page, world, job, canvas) : { text: [], work: [], said: [], hints: [backHint] };
};

const viewOf = (session: Session, page: Page, world: World, canvas: Canvas, whole: number): PageView => {
  const middle = middleOf(session, page, world, canvas);
  const job = jobOf(world, jobUnder(session, page));
  const alarm = alarmOf(world);
  const clocks = clocksOf(world, job);
  return {
    ...emptyPage,
    left: job ? [span(jobName(job), 'quiet')] : [],
    right: signedOn(world, session),
    ...(job ? rivetsOf(placed(world, job), canvas.marks, whole) : {}),
    ...middle,
    clocks: clockRow(clocks),
    side: page.page === 'first' || page.page === 'cautions' ? [] : sideOf(world, job, canvas),
    seconds: middle.seconds === true || clocks.some((clock) => clock.seconds),
    ...(alarm ? { alarm } : {}),
  };
};

/** What stands on the screen: the session, the build, the time and the size in, plain rows out. */
export const screenOf = (session: Session, world: World, size: Size, marks: Marks): Frame => {
  const page = topPage(session);
  // Two pages side by side want the whole width.
  const isSpread = page?.page === 'look' && page.look === 'revision';
  const desk = isDesk(size, session.view) && !isSpread;
  const { main, side } = widths(isSmall(size) ? { columns: 40, rows: 12 } : size, desk);
  const canvas: Canvas = { width: main, desk, side, marks };
  const whole = desk ? main + 3 + side : main;
  const view = page ? viewOf(session, page, world, canvas, whole) : { ...emptyPage, left: [], right: [] };
  return frameOf(view, size, desk, page?.scroll ?? 0, marks);
};
