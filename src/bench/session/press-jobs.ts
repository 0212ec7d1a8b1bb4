import type { Pressed } from '../keys.ts';
import { jobById } from '../job-now.ts';
import type { Startable, BenchFacts } from '../ports.ts';
import { bounces, commit } from './commit.ts';
import { jobsRows } from './jobs.ts';
import { isInterrupted } from '../../job/where.ts';
import { lastSteps, openJob } from './open-job.ts';
import { openItem } from './open-item.ts';
import { pressedDigit, pressList } from './press-list.ts';
import {
  nothing,
  pop,
  push,
  replaceTop,
  withoutAnswer,
  type Page,
  type Pages,
  type Session,
  type Turn,
} from './state.ts';

type Of<P extends Page['page']> = Pages[P];

/** One key in the list of jobs. */
export const pressJobs = (
  session: Session,
  page: Of<'jobs'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const rows = jobsRows(facts);
  const chosen = pressList(page, rows.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  if (!chosen) return undefined;
  // The enter that ended the last act must not open the job under the pointer.
  if (bounces(session, ms)) return nothing(session);
  const row = rows[chosen.open];
  if (row?.kind === 'job') return nothing(openJob(session, facts, row.job.id));
  if (row !== undefined && row.kind !== 'start') return openItem(withoutAnswer(session), facts, row.item.opens, ms);
  return nothing(push(withoutAnswer(session), { page: 'procedures', selected: 0, scroll: 0 }));
};

/** One key in the list of procedures. */
export const pressProcedures = (
  session: Session,
  page: Of<'procedures'>,
  key: Pressed,
  facts: BenchFacts,
): Turn | undefined => {
  const chosen = pressList(page, facts.procedures.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  const found = chosen && facts.procedures[chosen.open];
  if (!found) return undefined;
  return nothing(
    found.procedure || !found.fault
      ? push(session, { page: 'start', procedure: found.id, scroll: 0 })
      : push(session, { page: 'refused', fault: found.fault, scroll: 0 }),
  );
};

/** The sides that can be started; `undefined` stands for a procedure without sides. */
export const sidesOf = (found: Startable | undefined): readonly (string | undefined)[] =>
  found?.procedure && found.procedure.each.length > 0 ? found.procedure.each : [undefined];

/** One key on the page of a procedure: a side is chosen, or the job starts. */
export const pressStart = (
  session: Session,
  page: Of<'start'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const sides = sidesOf(facts.procedures.find((one) => one.id === page.procedure));
  const sideless = sides.length === 1 && sides[0] === undefined;
  const chosen =
    sideless && key.kind === 'act' && key.act === 'take' ? 0 : sideless ? undefined : pressedDigit(key, sides.length);
  if (chosen === undefined) return undefined;
  const side = sides[chosen];
  const data = { procedure: page.procedure, ...(side === undefined ? {} : { each: side }) };
  return commit(session, { verb: 'start', job: '', by: session.by ?? '', data }, ms);
};

/** Coming back: a digit marks a step as checked again, enter goes on. Neither reopens anything. */
export const pressBack = (
  session: Session,
  page: Of<'back'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const job = jobById(facts, page.job);
  if (!job) return nothing(pop(session));
  const steps = lastSteps(job);
  if (key.kind === 'act' && key.act === 'take') {
    if (page.ticked.length === 0 && !isInterrupted(job)) return nothing(pop(session));
    const data = page.ticked.length > 0 ? { rechecked: page.ticked } : {};
    return commit(session, { verb: 'resume', job: job.id, by: session.by ?? '', data }, ms);
  }
  const step = steps[pressedDigit(key, steps.length) ?? -1];
  if (step) {
    const ticked = page.ticked.includes(step.step)
      ? page.ticked.filter((id) => id !== step.step)
      : [...page.ticked, step.step];
    return nothing(replaceTop(session, { ...page, ticked }));
  }
  return undefined;
};
