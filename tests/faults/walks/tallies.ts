/** What a walk reached: so that one that reaches nothing is seen. */
export interface Tallies {
  readonly counts: Map<string, number>;
  readonly refusals: Map<string, number>;
  /** The cases that break a law, each in words. */
  readonly broken: string[];
}

export const newTallies = (): Tallies => ({ counts: new Map(), refusals: new Map(), broken: [] });

const add = (map: Map<string, number>, name: string, more = 1): void => {
  map.set(name, (map.get(name) ?? 0) + more);
};

export const count = ({ counts }: Tallies, name: string, more = 1): void => add(counts, name, more);
export const refused = ({ refusals }: Tallies, code: string): void => add(refusals, code);
export const counted = ({ counts }: Tallies, name: string): number => counts.get(name) ?? 0;

/** Several tallies as one. */
export const merged = (all: readonly Tallies[]): Tallies => {
  const one = newTallies();
  for (const { counts, refusals, broken } of all) {
    for (const [name, more] of counts) add(one.counts, name, more);
    for (const [code, more] of refusals) add(one.refusals, code, more);
    one.broken.push(...broken);
  }
  return one;
};
