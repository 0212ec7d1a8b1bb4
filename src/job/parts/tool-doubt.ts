import { msOf } from '../cure.ts';
import type { Stamp } from '../state.ts';
import type { ToolNow } from '../surroundings.ts';
import type { Doubt, FoundOf } from './part.ts';

/** A value that was taken with a tool. */
type Taking = Stamp & { readonly tool?: string; readonly superseded?: string };

/** Found wrong after this was done, and not found right in between: a drop says nothing either way. */
const wrongSince = (found: FoundOf, tool: string | undefined, when: string): ToolNow['found'][number] | undefined => {
  const taken = msOf(when);
  const next = tool === undefined ? undefined : found(tool).find((one) => one.ms >= taken && one.what !== 'dropped');
  return next?.what === 'wrong' ? next : undefined;
};

/** What was taken again since, with a tool not in doubt, no longer rests on the wrong one. */
export const isTakenAgain = <T extends Taking>(
  all: readonly T[],
  one: T,
  found: FoundOf,
  same: (other: T) => boolean,
): boolean =>
  all
    .slice(all.indexOf(one) + 1)
    .some(
      (other) =>
        same(other) && other.superseded === undefined && wrongSince(found, other.tool, other.when) === undefined,
    );

/** The doubt about a value whose tool was found wrong since; nothing where it was not, or where the value no longer counts. */
export const toolDoubts = (
  found: FoundOf,
  step: string,
  on: string,
  taken: Taking,
  what: (tool: string) => string,
): readonly Doubt[] => {
  const { tool } = taken;
  const wrong = wrongSince(found, tool, taken.when);
  if (tool === undefined || wrong === undefined || taken.superseded !== undefined) return [];
  return [
    {
      on,
      step,
      key: `tool ${taken.entry}`,
      what: `${what(tool)}, later found wrong`,
      because: `${tool}, later found wrong`,
      cause: `tool ${tool} ${wrong.when}`,
    },
  ];
};
