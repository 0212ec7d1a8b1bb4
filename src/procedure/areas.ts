import type { Procedure, Step } from './model.ts';
import { comesAfter, forEach, type Order } from './order.ts';

/** Steps from index `from` on that must reach an area, up to the one that uncovers it again. */
export const reachersFrom = (steps: readonly Step[], from: number, area: string): readonly Step[] => {
  const rest = steps.slice(from);
  const opened = rest.findIndex(({ uncovers }) => uncovers.includes(area));
  return (opened === -1 ? rest : rest.slice(0, opened)).filter(({ reaches }) => reaches.includes(area));
};

/** The areas that a procedure must reach before it uncovers them itself. The same as `reachersFrom` its first step, for every area at once. */
export const reachedFirst = (procedure: Procedure): ReadonlySet<string> => {
  const opened = new Set<string>();
  const reached = new Set<string>();
  for (const step of procedure.steps) {
    for (const name of step.uncovers) for (const area of forEach(procedure, name)) opened.add(area);
    for (const name of step.reaches)
      for (const area of forEach(procedure, name)) if (!opened.has(area)) reached.add(area);
  }
  return reached;
};

/** The areas that steps uncover and do not cover again. */
export const areasLeftOpen = (procedure: Pick<Procedure, 'each' | 'steps'>): ReadonlySet<string> => {
  const open = new Set<string>();
  for (const step of procedure.steps) {
    for (const name of step.covers) for (const area of forEach(procedure, name)) open.delete(area);
    for (const name of step.uncovers) for (const area of forEach(procedure, name)) open.add(area);
  }
  return open;
};

/** Whether one of the procedures that leave an area open comes between the two, so that the later one can reach it. */
export const isOpenedBetween = (openers: readonly string[], order: Order, first: string, last: string): boolean =>
  openers.some((opener) => comesAfter(order, opener, first) && comesAfter(order, last, opener));

/** Of some steps in order, the one that has left an area covered: the last that covers it, where none uncovers it after that. */
export const covererIn = (steps: readonly Step[], area: string): Step | undefined => {
  const last = steps.findLast(({ covers, uncovers }) => covers.includes(area) || uncovers.includes(area));
  return last?.covers.includes(area) === true ? last : undefined;
};
