import type { Pressed } from '../keys.ts';
import type { Page } from './state.ts';

/** How many rows or items a key moves by. */
export const moveOf = (key: Pressed): number | undefined =>
  key.kind === 'act' ? { up: -1, down: 1, 'page-up': -5, 'page-down': 5 }[key.act as string] : undefined;

/** The page scrolled by an arrow or a page key; nothing for any other key. */
export const scrolled = <T extends Page>(page: T, key: Pressed): T | undefined => {
  const by = moveOf(key);
  return by === undefined ? undefined : { ...page, scroll: Math.max(0, page.scroll + by) };
};

/** The item that a digit chooses. Where an item commits to something only digits choose, so that enter cannot commit by accident. */
export const pressedDigit = (key: Pressed, count: number): number | undefined =>
  key.kind === 'typed' && key.digit !== undefined && key.digit >= 1 && key.digit <= Math.min(9, count)
    ? key.digit - 1
    : undefined;

/** A list on a page: arrows move, a digit chooses and opens, enter opens. */
export const pressList = <T extends { readonly selected: number }>(
  page: T,
  count: number,
  key: Pressed,
): { readonly page: T } | { readonly open: number } | undefined => {
  if (key.kind === 'typed') {
    const digit = pressedDigit(key, count);
    return digit === undefined ? undefined : { open: digit };
  }
  const by = moveOf(key);
  if (by !== undefined && count > 0)
    return { page: { ...page, selected: Math.min(Math.max(0, page.selected + by), count - 1) } };
  return key.act === 'take' && count > 0 ? { open: Math.min(page.selected, count - 1) } : undefined;
};
