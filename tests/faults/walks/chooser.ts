import { chance } from '../../support/chance.ts';

/** Random choices, the same for each seed. */
export interface Chooser {
  /** True with this probability. */
  readonly maybe: (probability: number) => boolean;
  /** A whole number from 0 to below `count`. */
  readonly below: (count: number) => number;
  /** One of a list that is not empty. */
  readonly one: <T>(list: readonly T[]) => T;
  /** One of a list, or nothing where it is empty. */
  readonly any: <T>(list: readonly T[]) => T | undefined;
  /** One of several things, each as often as its weight says. */
  readonly weighted: <T>(things: readonly (readonly [weight: number, thing: T])[]) => T;
}

export const chooser = (seed: number): Chooser => {
  const next = chance(seed);
  const below = (count: number): number => Math.floor(next() * count);
  const any = <T>(list: readonly T[]): T | undefined => list[below(list.length)];
  const one = <T>(list: readonly T[]): T => {
    const found = any(list);
    if (found === undefined) throw new RangeError('nothing to choose from');
    return found;
  };
  return {
    maybe: (probability) => next() < probability,
    below,
    one,
    any,
    weighted: (things) => {
      let left = next() * things.reduce((sum, [weight]) => sum + weight, 0);
      for (const [weight, thing] of things) {
        left -= weight;
        if (left < 0) return thing;
      }
      return one(things)[1];
    },
  };
};
