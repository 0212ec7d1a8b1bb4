import { own } from '../fault/own.ts';
import type { JobState } from '../job/state.ts';
import type { Surroundings } from '../job/surroundings.ts';
import type { PartName } from '../procedure/model.ts';
import { usesOfPart } from '../procedure/parts/parts.ts';
import type { RecordTool } from './document.ts';
import type { ToolUse } from './parts/part.ts';
import { eachRecordedPart, recordedParts } from './parts/parts.ts';
import { present, unique, unlessEmpty } from './plain.ts';

const usesOf = (job: JobState): readonly ToolUse[] =>
  job.plan.steps.flatMap((step) => eachRecordedPart.flatMap((part) => part.uses?.(job, step) ?? []));

/** The kinds that the procedure asks for. Records list the kinds of a step's later parts first: that order is part of the format. */
const kindsAskedFor = (job: JobState): readonly string[] => {
  const parts = (Object.keys(recordedParts) as readonly PartName[]).toReversed();
  const used = job.plan.steps.flatMap((step) => parts.flatMap((part) => usesOfPart(part, step)));
  return unique(used.flatMap(({ kind, name }) => (kind === 'tool' && name !== undefined ? [name] : [])));
};

const individual = (id: string, kind: string, uses: readonly ToolUse[], around: Surroundings): RecordTool => {
  const known = own(around.tools, id);
  return present({
    tool: id,
    kind: known?.kind ?? kind,
    'in-date-until': known?.inDateUntil,
    uncertainty: known?.uncertainty,
    resolution: known?.resolution,
    calibration: known?.calibration,
    found: unlessEmpty((known?.found ?? []).map(({ what, when }) => ({ what, when }))),
    used: unique(uses.filter((use) => use.tool === id).map((use) => use.what)),
  });
};

/** Every individual tool that was named, then the kinds for which none was. */
export const toolsOf = (job: JobState, around: Surroundings): readonly RecordTool[] => {
  const uses = usesOf(job);
  const named = Object.entries(job.tools).map(([kind, tool]) => ({ tool, kind, what: '' }));
  const all = [...uses, ...named];
  const individuals = unique(all.map((use) => use.tool)).map((id) =>
    individual(id, all.find((use) => use.tool === id)?.kind ?? '', uses, around),
  );
  const without = kindsAskedFor(job).filter((kind) => !individuals.some((tool) => tool.kind === kind));
  return [...individuals, ...without.map((kind) => ({ kind, used: [] }))];
};
