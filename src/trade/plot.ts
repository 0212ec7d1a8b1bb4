/** A result on two axes, as plain numbers in the units named. Drawing is done elsewhere. */
export interface Plot {
  readonly x: Axis;
  readonly y: Axis;
  /** Joined by straight lines. */
  readonly line: readonly PlotPoint[];
  readonly points: readonly PlotPoint[];
  /** The result itself. */
  readonly here: PlotPoint;
  /** The limits that the result must lie within, where they were given. */
  readonly limits?: { readonly low?: number; readonly high?: number; readonly top?: number };
}

interface Axis {
  readonly name: string;
  readonly unit: string;
  readonly from: number;
  readonly to: number;
}

export interface PlotPoint {
  readonly x: number;
  readonly y: number;
}

/** The span of some values, wider by a share of itself on either side; never empty. */
export const spanOf = (values: readonly number[], margin: number): { readonly from: number; readonly to: number } => {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const room = most > least ? (most - least) * margin : Math.max(1, Math.abs(least) * 0.1);
  return { from: least - room, to: most + room };
};
