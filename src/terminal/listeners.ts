/** Removes the listener. */
export type Off = () => void;

/** Keeps listeners in order; each may be removed at any time. */
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
