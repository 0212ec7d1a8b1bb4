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

/** The session once the last line of the text was on the screen. */
export const withTextRead = (session: Session, facts: BenchFacts): Session => {
  const page = topPage(session);
  if (page?.page !== 'walk') return session;
  const job = jobById(facts, page.job);
  const read = job && sheetHere(jobNow(facts, job));
  return read === undefined || read === page.read ? session : replaceTop(session, { ...page, read });
};
