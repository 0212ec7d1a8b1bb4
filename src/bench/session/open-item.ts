import type { BenchFacts } from '../ports.ts';
import { commit } from './commit.ts';
import type { Opens } from './menu/item.ts';
import { openJob } from './open-job.ts';
import { openFormUnlessRefused } from './press-form.ts';
import { nothing, popTo, push, withoutAnswer, type Session, type Turn } from './state.ts';

/** Carries out an item of a menu. */
export const openItem = (session: Session, facts: BenchFacts, opens: Opens, ms: number): Turn => {
  if (opens.kind === 'form') return nothing(openFormUnlessRefused(session, facts, opens.form, ms));
  if (opens.kind === 'act') return commit(session, { ...opens.act, by: session.by ?? '' }, ms);
  if (opens.kind === 'leave') return { session, effects: [{ kind: 'leave' }] };
  const job = session.pages.findLast((page) => page.page === 'walk')?.job;
  const ofJob = job === undefined ? {} : { job };
  if (opens.kind === 'group')
    return nothing(push(session, { page: 'menu', group: opens.menuGroup, selected: 0, scroll: 0, ...ofJob }));
  if (opens.kind === 'start') return nothing(push(session, { page: 'start', procedure: opens.procedure, scroll: 0 }));
  if (opens.kind === 'calculators') return nothing(push(session, { page: 'calculators', selected: 0, scroll: 0 }));
  if (opens.kind === 'info') return nothing(push(session, { page: 'info', info: opens.info, scroll: 0, ...ofJob }));
  const home = popTo(session, (page) => page.page === 'jobs');
  if (opens.kind === 'jobs') return nothing(withoutAnswer(home));
  if (opens.kind === 'job') return nothing(openJob(home, facts, opens.job));
  const back = popTo(session, (page) => page.page === 'walk' || page.page === 'jobs');
  if (opens.kind === 'sign-on') return nothing({ ...back, by: opens.person, answer: { kind: 'taken', lines: [] } });
  if (opens.kind === 'view')
    return { session: { ...back, view: opens.view }, effects: [{ kind: 'keep', setting: 'view', value: opens.view }] };
  return {
    session: { ...back, theme: opens.theme },
    effects: [{ kind: 'keep', setting: 'theme', value: opens.theme }],
  };
};
