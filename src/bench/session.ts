import type { Key } from '../terminal/keys.ts';
import { jobsWith } from '../aircraft/state.ts';
import { underWay } from '../aircraft/traits.ts';
import { isKey, pressed, type Pressed } from './keys.ts';
import type { Act, Reply, BenchFacts } from './ports.ts';
import { jobNow } from './job-now.ts';
import { disarmedLate, unarmed } from './session/armed.ts';
import { keepDrafts } from './session/drafts.ts';
import { firstPage, pressFirst } from './session/first.ts';
import { onAnswer, onIntroduced } from './session/outcome.ts';
import { openJob } from './session/open-job.ts';
import { takesOwnEnter, takesText } from './session/open-field.ts';
import { pressPage } from './session/pages.ts';
import { scrolled } from './session/press-list.ts';
import { glueOver } from './session/pot-life.ts';
import { nothing, pop, push, replaceTop, topPage, type Page, type Session, type Turn } from './session/state.ts';
import { pressWalk } from './session/walk.ts';
import { own } from '../fault/own.ts';

/** What the person could see when a key was pressed. */
export interface Shown {
  /** The terminal is too small to show anything. */
  readonly isSmall: boolean;
  /** The size is changing, so what is on the screen is not what was meant. */
  readonly isMoving: boolean;
}

/** Everything that can happen to the bench. `ms` is a clock that never goes back. */
export type Event =
  /** `burst`: the key came with text that a machine sent, a scanner or a paste. */
  | { readonly kind: 'key'; readonly key: Key; readonly burst: boolean; readonly shown: Shown; readonly ms: number }
  | { readonly kind: 'tick'; readonly ms: number }
  | { readonly kind: 'resized' }
  | { readonly kind: 'introduced'; readonly answer: Reply; readonly ms: number }
  | {
      readonly kind: 'answer';
      readonly act: Act;
      readonly answer: Reply;
      readonly ms: number;
    };

/** The first screen: who are you, or the job that was asked for, or the list of jobs. */
export const openSession = (session: Session, facts: BenchFacts, job?: string): Session => {
  if (Object.keys(facts.build.keys).length === 0) return { ...session, pages: [firstPage(session.asksTheme)] };
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
  if (isKey(key, '?') && page.page !== 'help') return nothing(push(session, { page: 'help', scroll: 0 }));
  if (key.kind === 'typed') return isKey(key, ' ') && hasMenu(page) ? menuFor(session, page) : nothing(session);
  if (key.act === 'menu' && hasMenu(page)) return menuFor(session, page);
  if (key.act === 'back') return nothing(goBack(session, page));
  const moved = scrolled(page, key);
  return nothing(moved ? replaceTop(session, moved) : session);
};

type KeyEvent = Extract<Event, { readonly kind: 'key' }>;

/** Nothing acts that was not seen, and what a machine types is text: it goes into an open field, or nowhere. */
const isIgnored = (session: Session, meant: Pressed, { burst, shown }: KeyEvent, facts: BenchFacts): boolean => {
  if (shown.isSmall) return true;
  const isText = meant.kind === 'typed' && takesText(session, facts, meant.pasted ? '' : meant.text);
  if (shown.isMoving) return !isText;
  if (!burst || isText) return false;
  return meant.kind === 'typed' || meant.act !== 'take' || !takesOwnEnter(session, facts);
};

const onKey = (session: Session, event: KeyEvent, facts: BenchFacts): Turn => {
  const { ms } = event;
  const meant = pressed(event.key);
  const page = topPage(session);
  if (!meant || !page) return nothing(session);
  if (meant.kind === 'act' && meant.act === 'leave') return { session, effects: [{ kind: 'leave' }] };
  if (isIgnored(session, meant, event, facts)) return nothing(unarmed(session));
  const turn = onMeant(session, page, meant, facts, ms);
  // Any other key between two presses of an own key undoes the first.
  return turn.session.armed === session.armed ? { ...turn, session: unarmed(turn.session) } : turn;
};

const onMeant = (session: Session, page: Page, meant: Pressed, facts: BenchFacts, ms: number): Turn => {
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
  const due = jobsWith(facts.build, underWay).flatMap((job) => {
    const life = glueOver(jobNow(facts, job));
    return life && isDue(life.ends, own(session.rung, life.batch), now) ? [[life.batch, now] as const] : [];
  });
  return due.length === 0
    ? nothing(session)
    : { session: { ...session, rung: { ...session.rung, ...Object.fromEntries(due) } }, effects: [{ kind: 'bell' }] };
};

/** The whole bench as one function: the session before and an event give the session after and its effects. It reads no clock and no disk. */
export const reduce = (session: Session, event: Event, facts: BenchFacts): Turn => {
  const turn = reduced(session, event, facts);
  const isEntered = event.kind === 'answer' && event.answer.kind === 'done';
  return { ...turn, session: keepDrafts(session, turn.session, isEntered) };
};

const reduced = (session: Session, event: Event, facts: BenchFacts): Turn => {
  if (event.kind === 'key') return onKey(session, event, facts);
  if (event.kind === 'resized') return nothing(unarmed(session));
  if (event.kind === 'introduced') return onIntroduced(session, event.answer, event.ms);
  if (event.kind === 'answer') return onAnswer(session, event.act, event.answer, facts, event.ms);
  return onTick(disarmedLate(session, event.ms), facts);
};
