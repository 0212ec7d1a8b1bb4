import { own } from '../fault/own.ts';
import type { BuildState } from './state.ts';

/*
 * Batches and tags are numbered for the whole build, and stand on cups, samples and parts: two must never be called the same. Each machine
 * counts its own, and every one but the first puts a piece of its writer's name behind the number, so that nobody need know what
 * another has numbered at the same time.
 */

type Counted = 'batches' | 'tags';

const letters: Readonly<Record<Counted, string>> = { batches: 'B', tags: 'T' };

/** How much of a writer's name stands behind its numbers: enough to tell a handful of machines apart. */
const markLength = 4;

/** The writer of the build's first line; everybody's lines come after it. */
const firstWriter = (state: BuildState): string | undefined => Object.keys(state.written)[0];

/** What the next batch or tag of a writer is called: `B-3`; `B-3-imxr` by a machine that came to the build later. */
export const nextNumber = (state: BuildState, what: Counted, writer = firstWriter(state) ?? ''): string => {
  const number = (own(state[what], writer) ?? 0) + 1;
  const mark = writer === (firstWriter(state) ?? writer) ? '' : `-${writer.slice(0, markLength)}`;
  return `${letters[what]}-${number}${mark}`;
};

/** One more was numbered. */
export const counting = (state: BuildState, what: Counted, writer: string): BuildState => ({
  ...state,
  [what]: { ...state[what], [writer]: (own(state[what], writer) ?? 0) + 1 },
});

/** The number in a tag: tags are listed by it. */
export const numberIn = (tag: string): number => Number.parseInt(tag.slice(2), 10);
