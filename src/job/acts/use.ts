import { err, usage } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import { takeUnless, type Act } from './act.ts';

/** Names the individual tool that is used from now on. */
export const useAct: Act<'use'> = {
  decide: (ask) => {
    const { kind, tool: id } = ask.data;
    const { tools } = ask.moment.around;
    const tool = own(tools, id);
    if (!tool) return err(unknownId(`no tool in the build '${id}'`, id, Object.keys(tools)));
    if (tool.kind !== kind)
      return err(
        usage('value-unreadable', `${id} is a ${tool.kind}, not a ${kind}`, `use ${tool.kind}, or another tool`),
      );
    return takeUnless(ask, undefined, []);
  },
  evolve: (draft, entry) => {
    draft.tools = { ...draft.tools, [entry.data.kind]: entry.data.tool };
  },
  words: (data) => `${data.tool} in use`,
};
