import { alike, tokensOf } from './likeness.ts';
import type { List } from './sheet.ts';

const alikeEnough = 0.4;

/** In longer lists no pairs are looked for, since every text that went is compared with every text that came. */
const longestList = 200;

/**
 * The texts of a list that were reworded, old text to new. Texts that went are paired with texts that came, the most alike first, each in one
 * pair at most.
 */
export const rewordedIn = (before: List, after: List): ReadonlyMap<string, string> => {
  if (after.of !== 'words') return new Map();
  const [oldIds, newIds] = [before, after].map(({ items }) => new Set(items.map(({ id }) => id)));
  const gone = before.items.filter(({ id }) => !newIds!.has(id)).map(({ id }) => ({ id, tokens: tokensOf(id) }));
  const come = after.items.filter(({ id }) => !oldIds!.has(id)).map(({ id }) => ({ id, tokens: tokensOf(id) }));
  if (gone.length > longestList || come.length > longestList) return new Map();
  const pairs = gone
    .flatMap((old) => come.map((now) => ({ old: old.id, now: now.id, score: alike(old.tokens, now.tokens) })))
    .filter(({ score }) => score >= alikeEnough)
    .toSorted((a, b) => b.score - a.score);
  const found = new Map<string, string>();
  const taken = new Set<string>();
  for (const { old, now } of pairs)
    if (!found.has(old) && !taken.has(now)) {
      found.set(old, now);
      taken.add(now);
    }
  return found;
};
