/**
 * Published values that the calculations are checked against, one row each.
 * - A: a published input with its published output.
 * - B: a published rule or table, with the output worked out from it.
 * - C: from memory, or only worked out. Such a row checks our arithmetic and not the source.
 */
export interface PublishedRow {
  readonly source: string;
  readonly strength: 'A' | 'B' | 'C';
  readonly calculation: string;
  readonly inputs: Readonly<Record<string, string>>;
  /** Each result by its name: its value in the unit of the result, and the allowed difference. */
  readonly expect: Readonly<Record<string, readonly [value: number, within: number]>>;
}

export type Expect = PublishedRow['expect'];

/** Rows of one source, strength and calculation. */
export const rows =
  (source: string, strength: PublishedRow['strength'], calculation: string) =>
  (...of: readonly (readonly [PublishedRow['inputs'], Expect])[]): readonly PublishedRow[] =>
    of.map(([inputs, expect]) => ({ source, strength, calculation, inputs, expect }));
