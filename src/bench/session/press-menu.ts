import type { Pressed } from '../keys.ts';
import { jobById } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { bouncesOn } from './commit.ts';
import { menuItems, waysOut } from './menu.ts';
import { doneFormItem, doneItem } from './menu/done.ts';
import type { MenuItem } from './menu/item.ts';
import { openItem } from './open-item.ts';
import { pressedDigit, pressList } from './press-list.ts';
import { nothing, pop, replaceTop, type Page, type Pages, type Session, type Turn } from './state.ts';

type Of<P extends Page['page']> = Pages[P];

const choose = (
  session: Session,
  page: Of<'menu'>,
  items: readonly MenuItem[],
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  const chosen = pressList(page, items.length, key);
  if (chosen && 'page' in chosen) return nothing(replaceTop(session, chosen.page));
  const item = chosen && items[chosen.open];
  return item && openItem(session, facts, item.opens, ms);
};

/** One key in the menu. */
export const pressMenu = (
  session: Session,
  page: Of<'menu'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => choose(session, page, menuItems(facts, page.group, jobById(facts, page.job)), key, facts, ms);

/** What can be done about a refusal, in the job that was refused. */
export const refusedItems = (facts: BenchFacts, page: Of<'refused'>): readonly MenuItem[] => {
  const job = jobById(facts, page.act?.job);
  if (!job || page.fault.kind !== 'refused') return [];
  const isOffered = page.act !== undefined && page.fault.mayBeDone === true;
  const done = page.form
    ? doneFormItem(job, page.form, page.fault.what)
    : page.act && doneItem(job, page.act, page.fault.what);
  return [...waysOut(facts, job, page.fault.code), ...(isOffered && done ? [done] : [])];
};

/** One key on a refusal. */
export const pressRefused = (
  session: Session,
  page: Of<'refused'>,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
): Turn | undefined => {
  if (bouncesOn(session, ms) && key.kind === 'act' && key.act === 'take') return nothing(session);
  const items = refusedItems(facts, page);
  if (items.length === 0 && key.kind === 'act' && key.act === 'take') return nothing(pop(session));
  const item = items[pressedDigit(key, items.length) ?? -1];
  return item && openItem(session, facts, item.opens, ms);
};
