/** Ends what it was given for. */
export type Off = () => void;

/** Keeps who listens, in order; each may leave at any time. */
export const listeners = <T>(): {
  readonly add: (act: (value: T) => void) => Off;
  readonly tell: (value: T) => void;
} => {
  const all = new Set<(value: T) => void>();
  return {
    add: (act: (value: T) => void): Off => {
      all.add(act);
      return () => all.delete(act);
    },
    tell: (value: T): void => {
      for (const act of Array.from(all)) act(value);
    },
  };
};
