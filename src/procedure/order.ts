import { memoisedBy } from '../fault/memo.ts';
import type { Procedure } from './model.ts';

/** The order that `after` gives the procedures of a folder. */
export interface Order {
  /** Who names each procedure in its `after`. */
  readonly followers: ReadonlyMap<string, readonly string[]>;
}

export const orderOf = (procedures: readonly Pick<Procedure, 'procedure' | 'after'>[]): Order => {
  const followers = new Map<string, string[]>();
  for (const { procedure, after } of procedures)
    for (const { procedure: earlier } of after) {
      const list = followers.get(earlier);
      if (list === undefined) followers.set(earlier, [procedure]);
      else list.push(procedure);
    }
  return { followers };
};

/** Every procedure that comes after one, directly or by way of others; in a loop, the procedure itself too. */
export const laterThan = memoisedBy(({ followers }: Order, id: string): ReadonlySet<string> => {
  const found = new Set<string>();
  const open = [id];
  for (let next = open.pop(); next !== undefined; next = open.pop())
    for (const follower of followers.get(next) ?? [])
      if (!found.has(follower)) {
        found.add(follower);
        open.push(follower);
      }
  return found;
});

export const comesAfter = (order: Order, later: string, earlier: string): boolean =>
  laterThan(order, earlier).has(later);

/** Procedures in a loop, or after one: what is left when those that wait for none are taken out, again and again. */
export const neverReady = ({ followers }: Order, procedures: readonly Procedure[]): ReadonlySet<string> => {
  const known = new Set(procedures.map(({ procedure }) => procedure));
  const waits = new Map(
    procedures.map(({ procedure, after }) => [procedure, after.filter((one) => known.has(one.procedure)).length]),
  );
  const ready = [...waits].flatMap(([id, count]) => (count === 0 ? [id] : []));
  for (let next = ready.pop(); next !== undefined; next = ready.pop()) {
    waits.delete(next);
    for (const follower of followers.get(next) ?? []) {
      const left = (waits.get(follower) ?? 0) - 1;
      if (left === 0) ready.push(follower);
      else if (left > 0) waits.set(follower, left);
    }
  }
  return new Set(waits.keys());
};

/** `<each>` in a name of a feature or an area, written out for every side that the procedure has. */
export const forEach = ({ each }: Pick<Procedure, 'each'>, name: string): readonly string[] =>
  each.length === 0 || !name.includes('<each>') ? [name] : each.map((side) => name.replaceAll('<each>', side));
