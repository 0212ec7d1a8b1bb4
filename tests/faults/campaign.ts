/** How much is tried: a share of all cases, 1 for every one. */
export interface Extent {
  /** Every so many-th case is tried. */
  readonly every: number;
  /** How many cases where there is no end of them. */
  readonly many: number;
  /** How many real processes. */
  readonly processes: number;
}

/** What came of a campaign. */
export interface Told {
  readonly what: string;
  /** What must hold in every case. */
  readonly law: string;
  readonly count: number;
  /** Where it does not hold; empty. */
  readonly broken: readonly string[];
}

export type Campaign = (extent: Extent) => Told | Promise<Told>;

/** Counts cases and keeps what they break. */
export const tally = (what: string, law: string) => {
  const broken: string[] = [];
  let count = 0;
  return {
    add: (name: string, found: readonly string[]): void => {
      count += 1;
      for (const one of found) broken.push(`${name}: ${one}`);
    },
    told: (): Told => ({ what, law, count, broken }),
  };
};
