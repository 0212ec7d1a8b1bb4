import { msOf } from '../cure.ts';
import type { Stamp } from '../stamp.ts';
import type { ToolNow } from '../surroundings.ts';
import type { Doubt, FoundOf, Which } from './part.ts';

/** A value that was taken with a tool. */
type Taking = Stamp & { readonly tool?: string; readonly superseded?: string };

/**
 * The first check after a value was taken, where that check found the tool wrong. A drop proves nothing either way, so drops are passed
 * over.
 * @param when RFC 3339.
 */
const wrongSince = (found: FoundOf, tool: string | undefined, when: string): ToolNow['found'][number] | undefined => {
  const looked = tool === undefined ? [] : found(tool);
  if (looked.length === 0) return undefined; // of most tools nothing was ever found, and nothing need be reckoned
  const taken = msOf(when);
  const next = looked.find((one) => one.ms >= taken && one.what !== 'dropped');
  return next?.what === 'wrong' ? next : undefined;
};

/** True where the value was taken again later with a tool that is not in doubt; the value then no longer depends on the wrong tool. */
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

/** The doubt about a value whose tool was later found wrong; empty where no check found that, or where the value no longer counts. */
export const toolDoubts = (
  found: FoundOf,
  step: string,
  on: string,
  taken: Taking,
  what: (tool: string) => string,
  which: Which = {},
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
      ...which,
    },
  ];
};
