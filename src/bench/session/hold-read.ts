import { sheetName } from '../inspection-now.ts';
import { jobById, jobNow, type JobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { promptNow } from './prompt-now.ts';
import { replaceTop, topPage, type Session } from './state.ts';

/** The name of the sheet that a second person reads here; `undefined` where nobody inspects anything. */
export const sheetHere = (here: JobNow): string | undefined => {
  const prompt = promptNow(here);
  return prompt.kind === 'hold' || prompt.kind === 'witness' ? sheetName(here, prompt.step.step) : undefined;
};

/** The session with its last page on the screen (`isLast`), or with another one: answers are taken on the last page alone. */
export const withTextRead = (session: Session, facts: BenchFacts, isLast: boolean): Session => {
  const page = topPage(session);
  if (page?.page !== 'walk') return session;
  if (!isLast) {
    const { read, ...unread } = page;
    return read === undefined ? session : replaceTop(session, unread);
  }
  const job = jobById(facts, page.job);
  const read = job && sheetHere(jobNow(facts, job));
  return read === undefined || read === page.read ? session : replaceTop(session, { ...page, read });
};
