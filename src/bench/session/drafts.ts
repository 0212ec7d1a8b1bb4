import { emptyField, isEmpty } from '../drawing/field.ts';
import { questionAt, type Drafts, type Filled, type Form } from './form.ts';
import type { Page, Session } from './state.ts';

const holdsText = ({ field, answers, typed }: Filled): boolean =>
  !isEmpty(field) || Object.keys(answers).length > 0 || Object.keys(typed ?? {}).length > 0;

/** Secrets are never kept. */
const withoutSecrets = (filled: Filled, form: Form | undefined): Filled => {
  const { fault: _fault, ...rest } = filled;
  const secrets = new Set(form?.questions.filter(({ kind }) => kind === 'secret').map(({ name }) => name));
  if (secrets.size === 0) return rest;
  const isOpen = secrets.has((form && questionAt(form, filled)?.name) ?? '');
  const answers = Object.fromEntries(Object.entries(filled.answers).filter(([name]) => !secrets.has(name)));
  return { ...rest, answers, field: isOpen ? emptyField : filled.field };
};

const filledOn = (page: Page): readonly Filled[] => {
  if (page.page === 'form') return [withoutSecrets(page.filled, page.form)];
  return page.page === 'walk' && page.filled ? [withoutSecrets(page.filled, undefined)] : [];
};

const byKey = (session: Session): Drafts =>
  Object.fromEntries(session.pages.flatMap(filledOn).map((filled) => [filled.key, filled]));

/**
 * What was typed on pages that one event has closed: kept, so that it is there when the same thing is asked for again, or forgotten once it
 * is entered.
 */
export const keepDrafts = (before: Session, after: Session, isEntered: boolean): Session => {
  if (before.pages === after.pages) return after;
  const still = byKey(after);
  const closed = Object.values(byKey(before)).filter(({ key }) => !(key in still));
  if (closed.length === 0) return after;
  const gone = new Set(closed.map(({ key }) => key));
  const others = Object.entries(after.drafts).filter(([key]) => !gone.has(key));
  const kept = isEntered ? [] : closed.filter(holdsText).map((filled) => [filled.key, filled] as const);
  return { ...after, drafts: Object.fromEntries([...others, ...kept]) };
};
