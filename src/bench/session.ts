import type { Key } from '../terminal/keys.ts';
import { pressed, type Pressed } from './keys.ts';
import type { Act, Reply, BenchFacts } from './ports.ts';
import { jobById, jobNow } from './job-now.ts';
import { firstPage, pressFirst } from './session/first.ts';
import { onAnswer, onIntroduced } from './session/outcome.ts';
import { openJob } from './session/open-job.ts';
import { pressPage } from './session/pages.ts';
import { scrolled } from './session/press-list.ts';
import { glueOver } from './session/pot-life.ts';
import { nothing, pop, push, replaceTop, topPage, type Page, type Session, type Turn } from './session/state.ts';
import { pressWalk } from './session/walk.ts';
import { own } from '../fault/own.ts';

/** Everything that can happen to the bench. `ms` is a clock that never goes back. */
export type Event =
  | { readonly kind: 'key'; readonly key: Key; readonly ms: number }
  | { readonly kind: 'tick' }
  | { readonly kind: 'introduced'; readonly answer: Reply; readonly ms: number }
  | {
      readonly kind: 'answer';
      readonly act: Act;
      readonly answer: Reply;
      readonly ms: number;
    };

/** The first screen: who are you, or the job that was asked for, or the list of jobs. */
export const openSession = (session: Session, facts: BenchFacts, job?: string): Session => {
  if (Object.keys(facts.build.keys).length === 0) return { ...session, pages: [firstPage()] };
  const jobs: Session = { ...session, pages: [{ page: 'jobs', selected: 0, scroll: 0 }] };
  if (session.by === undefined) return push(jobs, { page: 'menu', group: 'people', selected: 0, scroll: 0 });
  return job === undefined ? jobs : openJob(jobs, facts, job);
};

const menuFor = (session: Session, page: Page): Turn => {
  const job = 'job' in page ? page.job : session.pages.findLast((one) => one.page === 'walk')?.job;
  const ofJob = job === undefined ? {} : { job };
  return nothing(push(session, { page: 'menu', group: 'all', selected: 0, scroll: 0, ...ofJob }));
};

/** Pages from which the menu opens: not over itself, and not before there is anybody to use it. */
const hasMenu = (page: Page): boolean => ['walk', 'jobs', 'procedures', 'start', 'done'].includes(page.page);

/** Escape goes back one page, and does nothing on the first one. From the check of the last steps it also closes the job beneath. */
const goBack = (session: Session, page: Page): Session => (page.page === 'back' ? pop(pop(session)) : pop(session));

/** The keys that mean the same on every page. */
const pressAnywhere = (session: Session, page: Page, key: Pressed): Turn => {
  if (key.kind === 'typed') return key.text === ' ' && hasMenu(page) ? menuFor(session, page) : nothing(session);
  if (key.act === 'menu' && hasMenu(page)) return menuFor(session, page);
  if (key.act === 'back') return nothing(goBack(session, page));
  const moved = scrolled(page, key);
  return nothing(moved ? replaceTop(session, moved) : session);
};

const onKey = (session: Session, key: Key, facts: BenchFacts, ms: number): Turn => {
  const meant = pressed(key);
  const page = topPage(session);
  if (!meant || !page) return nothing(session);
  if (meant.kind === 'act' && meant.act === 'leave') return { session, effects: [{ kind: 'leave' }] };
  const taken =
    page.page === 'first'
      ? pressFirst(session, page, meant, ms)
      : page.page === 'walk'
        ? pressWalk(session, page, meant, facts, ms)
        : pressPage(session, page, meant, facts, ms);
  return taken ?? pressAnywhere(session, page, meant);
};

const tenSeconds = 10_000;
const minute = 60_000;

/** The bell rings every ten seconds for a minute, then every minute. `ends`, `last` and `now` are ms since 1970. */
const isDue = (ends: number, last: number | undefined, now: number): boolean =>
  last === undefined || now < last || now - last >= (now - ends <= minute ? tenSeconds : minute);

/** The end of a pot life is the one thing that comes by itself: it rings until the glue is discarded or a departure is entered. */
const onTick = (session: Session, facts: BenchFacts): Turn => {
  const now = facts.now.ms;
  const due = facts.build.jobOrder.flatMap((id) => {
    const job = jobById(facts, id);
    const life = job && glueOver(jobNow(facts, job));
    return life && isDue(life.ends, own(session.rung, life.batch), now) ? [[life.batch, now] as const] : [];
  });
  return due.length === 0
    ? nothing(session)
    : { session: { ...session, rung: { ...session.rung, ...Object.fromEntries(due) } }, effects: [{ kind: 'bell' }] };
};

/** The whole bench as one function: the session before and an event give the session after and its effects. It reads no clock and no disk. */
export const reduce = (session: Session, event: Event, facts: BenchFacts): Turn => {
  if (event.kind === 'key') return onKey(session, event.key, facts, event.ms);
  if (event.kind === 'introduced') return onIntroduced(session, event.answer, event.ms);
  if (event.kind === 'answer') return onAnswer(session, event.act, event.answer, facts, event.ms);
  return onTick(session, facts);
};
