import { own } from '../fault/own.ts';
import type { BuildState } from './state.ts';

/*
 * Batches and tags are numbered for the whole build and written on cups, samples and parts, so no two may have the same name. Each machine
 * counts its own. Every machine but the first adds a piece of its writer's name to the number, so that no machine needs to know what
 * another has numbered at the same time.
 */

type Counted = 'batches' | 'tags';

const letters: Readonly<Record<Counted, string>> = { batches: 'B', tags: 'T' };

/** How many characters of a writer's name follow its numbers: enough to keep a few machines apart. */
const markLength = 4;

/** The writer of the build's first line. Every other writer joined later. */
const firstWriter = (state: BuildState): string | undefined => Object.keys(state.written)[0];

/** The name of a writer's next batch or tag: `B-3`, or `B-3-imxr` for a machine that joined the build later. */
export const nextNumber = (state: BuildState, what: Counted, writer = firstWriter(state) ?? ''): string => {
  const number = (own(state[what], writer) ?? 0) + 1;
  const mark = writer === (firstWriter(state) ?? writer) ? '' : `-${writer.slice(0, markLength)}`;
  return `${letters[what]}-${number}${mark}`;
};

/** The build after this writer has numbered one more batch or tag. */
export const counting = (state: BuildState, what: Counted, writer: string): BuildState => ({
  ...state,
  [what]: { ...state[what], [writer]: (own(state[what], writer) ?? 0) + 1 },
});

/** The number in a tag (`T-12` gives 12), by which tags are sorted. */
export const numberIn = (tag: string): number => Number.parseInt(tag.slice(2), 10);
