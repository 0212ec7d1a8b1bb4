import { err, ok, type Fault } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import { happened } from '../../job/entry.ts';
import type { ToolNow } from '../../job/surroundings.ts';
import { withValue, type BuildState } from '../state.ts';
import { correctsInBuild } from './correct-in-build.ts';
import { taken, unknownIn, type BuildAct } from './act.ts';

type Found = ToolNow['found'][number];

/** Findings are kept in order of time; two of the same instant, in the order of entry. */
const withFound = (state: BuildState, id: string, found: Found): BuildState => {
  const before = own(state.found, id) ?? [];
  const index = before.findLastIndex((one) => one.ms <= found.ms) + 1;
  return { ...state, found: withValue(state.found, id, before.toSpliced(index, 0, found)) };
};

const foundNamed = (
  state: BuildState,
  target: string,
): { readonly tool: string; readonly found: Found } | undefined => {
  for (const [tool, all] of Object.entries(state.found)) {
    const found = all.find(({ entry }) => entry === target);
    if (found) return { tool, found };
  }
  return undefined;
};

const toolFault = (state: BuildState, tool: string): Fault | undefined => {
  const known = state.file.tools.map((line) => line.tool);
  return known.includes(tool) ? undefined : unknownIn('tool in the build', tool, known);
};

/** Records what was found on a tool. */
export const toolAct: BuildAct<'tool'> = {
  decide: (ask) => {
    const fault = toolFault(ask.state, ask.data.tool);
    return fault ? err(fault) : taken(ask, {});
  },
  evolve: (state, entry) => {
    const { tool: id, found: what } = entry.data;
    const when = happened(entry);
    return ok(withFound(state, id, { entry: entry.id, at: entry.at, by: entry.by, what, when, ms: msOf(when) }));
  },
  words: (data) => `${data.tool} ${data.found}`,
  correct: correctsInBuild({
    verb: 'tool',
    fields: ['tool', 'found'],
    bare: 'found',
    find: (state, target) => {
      const named = foundNamed(state, target);
      if (!named) return undefined;
      const { entry, at, by, when, what } = named.found;
      return { entry, at, by, when, about: named.tool, said: { tool: named.tool, found: what } };
    },
    fault: (state, now) => toolFault(state, String(now['tool'])),
    put: (state, { entry }, now, when) => {
      const named = foundNamed(state, entry);
      if (!named) return state;
      const left = (own(state.found, named.tool) ?? []).filter((one) => one !== named.found);
      const timed = when === undefined ? {} : { when, ms: msOf(when) };
      const right: Found = { ...named.found, ...timed, what: now['found'] as Found['what'] };
      return withFound({ ...state, found: withValue(state.found, named.tool, left) }, String(now['tool']), right);
    },
  }),
};
