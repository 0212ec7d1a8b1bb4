/** How much of a campaign is tried. */
export interface Extent {
  /** One case in this many is tried; 1 tries all. */
  readonly every: number;
  /** The number of cases, where the campaign is random and has no end. */
  readonly many: number;
  /** The number of real processes. */
  readonly processes: number;
}

/** The result of a campaign. */
export interface Told {
  readonly what: string;
  /** What must hold in every case. */
  readonly law: string;
  readonly count: number;
  /** The cases in which it does not hold. */
  readonly broken: readonly string[];
}

export type Campaign = (extent: Extent) => Told | Promise<Told>;

/** Counts cases and collects what they break. */
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
