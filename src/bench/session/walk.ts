import type { JobState } from '../../job/state.ts';
import { separateKeys, type Pressed } from '../keys.ts';
import { jobById, jobNow, type JobNow } from '../job-now.ts';
import type { Act, BenchFacts } from '../ports.ts';
import { pressTwice } from './armed.ts';
import { bounces, commit } from './commit.ts';
import { filledFor, type Filled } from './form.ts';
import { helpersForm } from './gather-forms.ts';
import { sheetHere } from './hold-read.ts';
import { openItem } from './open-item.ts';
import { openForm, pressForm } from './press-form.ts';
import { moveOf, pressedDigit, scrolled } from './press-list.ts';
import { promptItems } from './prompt-items.ts';
import { promptNow } from './prompt-now.ts';
import type { Prompt } from './prompt.ts';
import { nothing, pop, push, replaceTop, withoutAnswer, type Page, type Session, type Turn } from './state.ts';

type WalkPage = Extract<Page, { page: 'walk' }>;

const ownAct = (session: Session, job: JobState, ms: number, verb: Act['verb'], data: Act['data']): Turn =>
  commit(session, { verb, job: job.id, by: session.by ?? '', data }, ms);

/** The keys that act without a form: begin, torque mark, finish, complete, resume a parked job. */
const pressOwn = (session: Session, job: JobState, prompt: Prompt, key: Pressed, ms: number): Turn | undefined => {
  const pressedOwn = key.kind === 'typed' ? key.own : undefined;
  const take = key.kind === 'act' && key.act === 'take';
  if (prompt.kind === 'card' && pressedOwn === 'begin') {
    if (bounces(session, ms)) return nothing(session);
    if (prompt.refused) return nothing(push(session, { page: 'refused', ...prompt.refused, scroll: 0 }));
    return pressTwice(session, 'begin', ms, (after) =>
      prompt.helpers > 0
        ? nothing(openForm(after, helpersForm(job, prompt.step, prompt.helpers, 'begin')))
        : ownAct(after, job, ms, 'begin', { step: prompt.step.step }),
    );
  }
  if (prompt.kind === 'mark' && pressedOwn === 'mark')
    return ownAct(session, job, ms, 'tighten', { step: prompt.step.step, fastener: prompt.fastener, mark: true });
  if (prompt.kind === 'finish' && (prompt.own ? pressedOwn === 'finish' : take)) {
    const finish = (after: Session): Turn => ownAct(after, job, ms, 'finish', { step: prompt.step.step });
    if (bounces(session, ms)) return nothing(session);
    return prompt.own ? pressTwice(session, 'finish', ms, finish) : finish(session);
  }
  if (prompt.kind === 'complete' && take) return ownAct(session, job, ms, 'complete', {});
  if (prompt.kind === 'parked' && take)
    return nothing(
      openForm(session, {
        key: `unpark ${job.id}`,
        title: 'Take the job up again',
        about: [],
        verb: 'unpark',
        job: job.id,
        fixed: {},
        questions: [{ name: 'arrived', ask: 'What has come', kind: 'text', required: false }],
      }),
    );
  return undefined;
};

const says = (session: Session, line: string): Turn =>
  nothing({ ...session, answer: { kind: 'notice', lines: [line] } });

/** Where enter does nothing, it says which key does. */
const insteadOfEnter = (prompt: Prompt): string => {
  const { begin, finish, mark } = separateKeys;
  if (prompt.kind === 'card') return `Press ${begin.key} twice: enter does not begin this.`;
  if (prompt.kind === 'finish') return `Press ${finish.key} twice: enter does not finish this.`;
  if (prompt.kind === 'mark') return `Press ${mark.key} once the mark is on.`;
  if (prompt.kind === 'closed' || prompt.kind === 'stuck') return 'Press space for the menu: enter does nothing here.';
  return 'Choose with a digit: enter does nothing here.';
};

/** True at a hold while the last line of its sheet has not been on the screen: nobody answers for what they did not see. */
const unread = (here: JobNow, { read }: WalkPage): boolean => {
  const sheet = sheetHere(here);
  return sheet !== undefined && sheet !== read;
};

/** The next page of a hold, or the one before: never two at once, so that each is on the screen. */
const turned = (page: WalkPage, key: Pressed): WalkPage | undefined => {
  const by = Math.sign(moveOf(key) ?? 0);
  return by === 0 ? undefined : { ...page, scroll: Math.max(0, page.scroll + by) };
};

/** One key on the page of a job. Absent: the key means nothing special here, and what it means on every page applies. */
export const pressWalk = (
  session: Session,
  page: WalkPage,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const job = jobById(facts, page.job);
  if (!job) return nothing(pop(session));
  const here = jobNow(facts, job);
  const prompt = promptNow(here);
  if (prompt.kind === 'question') {
    const put = (filled: Filled): Session => replaceTop(session, { ...page, filled });
    const filled = filledFor(prompt.form, page.filled, session.drafts);
    const step = pressForm(session, prompt.form, filled, key, facts, ms, put);
    if (step === 'back') return undefined;
    if (step) return step;
  }
  const done = pressOwn(session, job, prompt, key, ms);
  if (done) return done;
  const items = promptItems(here);
  const item = items[pressedDigit(key, items.length) ?? -1];
  if (item && (item.opens.kind === 'form' || prompt.kind === 'hold') && unread(here, page))
    return says(session, 'Read to the last page first (arrow down).');
  if (item) return bounces(session, ms) ? nothing(session) : openItem(session, facts, item.opens, ms);
  if (key.kind === 'act' && key.act === 'take' && !bounces(session, ms)) return says(session, insteadOfEnter(prompt));
  const isSheet = sheetHere(here) !== undefined;
  const moved = isSheet ? turned(page, key) : scrolled(page, key);
  return moved && nothing(replaceTop(isSheet ? withoutAnswer(session) : session, moved));
};
