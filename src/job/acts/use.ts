import { err, ok, usage, type Fault } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import { stampOf } from '../draft.ts';
import type { JobState, ToolNamed } from '../state.ts';
import type { Stamp } from '../stamp.ts';
import { takeUnless, type Act, type Ask } from './act.ts';
import { correctsItem } from './correctable.ts';

type Taking = Stamp & { readonly tool?: string };

const toolFault = ({ moment }: Pick<Ask, 'moment'>, kind: string, id: string): Fault | undefined => {
  const { tools } = moment.around;
  const tool = own(tools, id);
  if (!tool) return unknownId(`no tool in the build '${id}'`, id, Object.keys(tools));
  return tool.kind === kind
    ? undefined
    : usage('value-unreadable', `${id} is a ${tool.kind}, not a ${kind}`, `use ${tool.kind}, or another tool`);
};

/** The values that were taken with the tool of one naming: after it, and before the next naming of that kind. */
const takenWith = (job: JobState, target: string): readonly { readonly step: string; readonly taken: Taking }[] => {
  const use = job.uses.find(({ entry }) => entry === target);
  if (!use) return [];
  const place = new Map(job.log.map(({ entry }, index) => [entry, index]));
  const from = place.get(target) ?? 0;
  const later = job.uses.filter(({ kind, entry }) => kind === use.kind && (place.get(entry) ?? 0) > from);
  const until = Math.min(...later.map(({ entry }) => place.get(entry) ?? 0), job.log.length);
  const isMeant = ({ entry, tool }: Taking): boolean => {
    const at = place.get(entry) ?? -1;
    return tool === use.tool && at > from && at < until;
  };
  return job.plan.steps.flatMap(({ step, readings, tighten }) => [
    ...readings
      .filter(({ tool }) => tool === use.kind)
      .flatMap(({ reading }) => own(job.tries, reading) ?? [])
      .filter(isMeant)
      .map((taken) => ({ step, taken })),
    ...(tighten?.tool === use.kind ? (own(job.fasteners, step) ?? []) : [])
      .filter(isMeant)
      .map((taken) => ({ step, taken })),
  ]);
};

/** The values that were taken with the tool of a naming follow its correction. */
const correctsUse = correctsItem<'use', ToolNamed>(
  {
    items: ({ uses }) => uses,
    names: { tool: 'tool' },
    steps: ({ entry }, job) => takenWith(job, entry).map(({ step }) => step),
  },
  {
    bare: () => 'tool',
    otherwise: 'name the other kind (use KIND)',
    judge: (ask, { target, now }) => {
      const kind = ask.job.uses.find(({ entry }) => entry === target)?.kind ?? '';
      const fault = toolFault(ask, kind, now.tool ?? '');
      return fault ? err(fault) : ok({});
    },
    after: (draft, { target, now }, job) => {
      const { tool = '' } = now;
      const meant = new Set(takenWith(job, target).map(({ taken }) => taken.entry));
      for (const taken of [...Object.values(draft.tries).flat(), ...Object.values(draft.fasteners).flat()])
        if (meant.has(taken.entry)) taken.tool = tool;
      for (const { kind, tool: last } of draft.uses) draft.tools[kind] = last;
    },
  },
);

/** Names the individual tool that is used from now on. */
export const useAct: Act<'use'> = {
  decide: (ask) => {
    const fault = toolFault(ask, ask.data.kind, ask.data.tool);
    return fault ? err(fault) : takeUnless(ask, undefined, []);
  },
  evolve: (draft, entry) => {
    const { kind, tool } = entry.data;
    draft.uses.push({ ...stampOf(entry), kind, tool });
    draft.tools = { ...draft.tools, [kind]: tool };
  },
  words: (data) => `${data.tool} in use`,
  correct: correctsUse,
};
