import { memoised } from '../../fault/memo.ts';
import type { PlannedPage } from '../../job/verb-spec.ts';
import type { Procedure } from '../../procedure/model.ts';
import type { BuildFile } from '../file.ts';
import type { BuildState } from '../state.ts';

/** One carrying-out that this build will see: a procedure, for one side where it has sides. */
export interface PlannedSide {
  readonly procedure: string;
  readonly side?: string;
  /** The gate before which it is complete; absent where the build names no gate. */
  readonly before?: string;
  /** The gates that the procedure passes. */
  readonly gates: readonly string[];
  /** The day on which it was done before dryfit was used; then it counts as complete. */
  readonly doneBefore?: string;
}

/** A page as a `build` line keeps it. */
export const pageIn = ({ procedure, each, steps, answers }: Procedure, sha256: string): PlannedPage => ({
  procedure,
  sha256,
  each,
  gates: [...new Set(steps.flatMap(({ gate }) => gate ?? []))],
  ...(answers === undefined ? {} : { bulletin: answers.bulletin, of: answers.of }),
});

type PlanSource = Pick<BuildState, 'file' | 'pages'>;

/** The page of a procedure in the folder; `undefined` where the folder has none. */
export const pageOf = ({ pages }: Pick<BuildState, 'pages'>, procedure: string): PlannedPage | undefined =>
  pagesById(pages).get(procedure);

/** The first page of each procedure. */
const pagesById = memoised(
  (pages: readonly PlannedPage[]): ReadonlyMap<string, PlannedPage> =>
    new Map(pages.toReversed().map((page) => [page.procedure, page])),
);

/** The day on which a side was done before dryfit; a line without a side stands for all of them. */
const doneBefore = ({ beforeDryfit }: BuildFile, procedure: string, side: string | undefined): string | undefined =>
  beforeDryfit.find((line) => line.procedure === procedure && (line.each === undefined || line.each === side))?.date;

const sidesOf = (
  { file, pages }: PlanSource,
  procedure: string,
  each: readonly string[] | undefined,
  before: string | undefined,
): readonly PlannedSide[] => {
  const page = pageOf({ pages }, procedure);
  const sides = each ?? page?.each ?? [];
  return (sides.length === 0 ? [undefined] : sides).map((side) => {
    const done = doneBefore(file, procedure, side);
    return {
      procedure,
      gates: page?.gates ?? [],
      ...(side === undefined ? {} : { side }),
      ...(before === undefined ? {} : { before }),
      ...(done === undefined ? {} : { doneBefore: done }),
    };
  });
};

/** The last gate of the build, which wants the whole plan. */
export const lastGate = ({ gates }: Pick<BuildFile, 'gates'>): string | undefined => gates.at(-1);

const planIn = (source: PlanSource): readonly PlannedSide[] => {
  const { file, pages } = source;
  const lines = file.plan ?? pages.map(({ procedure }) => ({ procedure, each: undefined, before: undefined }));
  return lines.flatMap(({ procedure, each, before }) => sidesOf(source, procedure, each, before ?? lastGate(file)));
};

/**
 * What this build will carry out: the `plan` of build.yaml, else every page of the procedures folder as it was last taken in, each before
 * the last gate.
 */
export const planOf: (state: BuildState) => readonly PlannedSide[] = memoised(planIn);
