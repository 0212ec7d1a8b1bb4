import { err, ok } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import { happened } from '../../job/entry.ts';
import { withValue } from '../state.ts';
import { taken, unknownIn, type BuildAct } from './act.ts';

/** Records what was found on a tool. Findings are kept in order of time; two of the same instant, in the order of entry. */
export const toolAct: BuildAct<'tool'> = {
  decide: (ask) => {
    const known = ask.state.file.tools.map((line) => line.tool);
    return known.includes(ask.data.tool) ? taken(ask, {}) : err(unknownIn('tool in the build', ask.data.tool, known));
  },
  evolve: (state, entry) => {
    const { tool: id, found: what } = entry.data;
    const found = { what, when: happened(entry), ms: msOf(happened(entry)) };
    const before = own(state.found, id) ?? [];
    const index = before.findLastIndex((one) => one.ms <= found.ms) + 1;
    return ok({ ...state, found: withValue(state.found, id, before.toSpliced(index, 0, found)) });
  },
  words: (data) => `${data.tool} ${data.found}`,
};
