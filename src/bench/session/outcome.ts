import type { Fault } from '../../fault/fault.ts';
import type { JobState } from '../../job/state.ts';
import type { Act, Reply, Done, BenchFacts } from '../ports.ts';
import { emptyField, fieldText } from '../drawing/field.ts';
import {
  nothing,
  pop,
  popTo,
  push,
  replaceTop,
  topPage,
  type Page,
  type Session,
  type Turn,
  type ShownAnswer,
} from './state.ts';
import { openJob } from './open-job.ts';
import { openForm } from './press-form.ts';
import { whoIsMeant } from './who-is-meant.ts';
import { uncountedWords } from './uncounted-words.ts';
import { takenWords } from './words.ts';
import { jobIn } from '../../aircraft/jobs.ts';

/** What a rule refused, and was written down as done, is never shown with a tick; nor is a night that did not count. */
const answerTo = (done: Done, act?: Act, job?: JobState, uncounted: readonly string[] = []): ShownAnswer => {
  const isCounted = !('refused' in done.data) && uncounted.length === 0;
  return {
    kind: isCounted ? 'taken' : 'notice',
    lines: [...uncounted, ...(act ? takenWords(done, job) : []), ...done.told],
    ...(done.verdict === undefined || !isCounted ? {} : { verdict: done.verdict }),
  };
};

const isBase = (page: Page): boolean => page.page === 'walk' || page.page === 'jobs';

/**
 * The page on which the answer to an act is shown: the open job, else the list of jobs. What was typed there is cleared if the act came
 * from that page. It stays if the act came from a page above, such as a temperature entered while a value was half typed.
 */
const backToBase = (session: Session): Session => {
  const base = popTo(session, isBase);
  const page = topPage(base);
  if (page?.page !== 'walk') return base;
  const above = session.pages.slice(base.pages.length).some((one) => one.page === 'form' || one.page === 'menu');
  return replaceTop(base, above ? { ...page, scroll: 0 } : { page: 'walk', job: page.job, scroll: 0 });
};

const toJobs = (session: Session): Session => popTo(session, (page) => page.page === 'jobs');

const afterDone = (session: Session, act: Act, done: Done, facts: BenchFacts): Session => {
  if (act.verb === 'start')
    return openJob({ ...toJobs(session), opened: [...session.opened, done.job] }, facts, done.job);
  if (act.verb === 'interrupt') return { ...toJobs(session), opened: session.opened.filter((job) => job !== act.job) };
  if (act.verb === 'resume') return backToBase(session);
  const base = backToBase(session);
  return act.verb === 'complete'
    ? push(base, {
        page: 'done',
        job: act.job,
        scroll: 0,
        ...(done.record === undefined ? {} : { record: done.record }),
      })
    : base;
};

/** A fault in what was typed is shown where it was typed, with the text still there. */
const tellInForm = (session: Session, fault: Fault): Session | undefined => {
  const beneath = topPage(session)?.page === 'passphrase' ? pop(session) : session;
  const page = topPage(beneath);
  if (!page || !('filled' in page) || !page.filled) return undefined;
  return replaceTop(beneath, { ...page, filled: { ...page.filled, fault } });
};

const refused = (session: Session, act: Act, fault: Fault, ms: number): Session => {
  const beneath = topPage(session)?.page === 'passphrase' ? pop(session) : session;
  return {
    ...push(beneath, { page: 'refused', fault, act, scroll: 0 }),
    // A finger that bounces on enter must not dismiss the refusal unread.
    advanced: ms,
  };
};

/** A passphrase is needed. Where several people sign one act, the passphrases typed so far are kept with this page, and vanish with it. */
const locked = (session: Session, act: Act, person: string, wrong: boolean): Session => {
  const page = topPage(session);
  const asked = page?.page === 'passphrase' ? page : undefined;
  const given = asked && asked.person !== person ? { [asked.person]: fieldText(asked.field) } : {};
  const secrets = { ...asked?.secrets, ...given };
  return push(asked ? pop(session) : session, {
    page: 'passphrase',
    act,
    person,
    wrong,
    secrets,
    field: emptyField,
    scroll: 0,
  });
};

/** The answer to an act. Nothing is shown as saved before it is here. */
export const onAnswer = (session: Session, act: Act, answer: Reply, facts: BenchFacts, ms: number): Turn => {
  const { waiting: _waiting, ...rest } = session;
  if (answer.kind === 'done') {
    const said = answerTo(
      answer.done,
      act,
      jobIn(facts.build.jobs, answer.done.job),
      uncountedWords(facts, answer.done),
    );
    return nothing({ ...afterDone(rest, act, answer.done, facts), answer: said });
  }
  // Nothing was committed, so the next key is not a bounce.
  const free: Session = { ...rest, committed: -Infinity, answer: { kind: 'not', lines: [] } };
  if (answer.kind === 'locked') return nothing(locked(free, act, answer.person, answer.wrong));
  const who = whoIsMeant(act, answer.fault, facts);
  if (who) return nothing({ ...openForm(free, who), advanced: ms });
  if (answer.fault.kind === 'usage') {
    const inForm = tellInForm(free, answer.fault);
    if (inForm) return nothing(inForm);
  }
  return nothing(refused(free, act, answer.fault, ms));
};

/** The first person has a key: the cautions are shown once, then the procedures that can be started. */
export const onIntroduced = (session: Session, answer: Reply, ms: number): Turn => {
  if (answer.kind === 'done')
    return nothing({
      ...session,
      answer: answerTo(answer.done),
      pages: [
        { page: 'jobs', selected: 0, scroll: 0 },
        { page: 'procedures', selected: 0, scroll: 0 },
        { page: 'cautions', scroll: 0 },
      ],
    });
  const { by: _by, ...rest } = session;
  const nobody: Session = rest;
  return nothing(
    answer.kind === 'fault'
      ? { ...push(nobody, { page: 'refused', fault: answer.fault, scroll: 0 }), advanced: ms }
      : nobody,
  );
};
