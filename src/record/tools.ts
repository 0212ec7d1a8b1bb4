import type { Surroundings } from '../job/surroundings.ts';
import type { JobState } from '../job/state.ts';
import type { RecordTool } from './document.ts';
import { present, unique, unlessEmpty } from './plain.ts';
import { own } from '../fault/own.ts';

interface Use {
  readonly tool: string;
  readonly kind: string;
  readonly what: string;
}

const usesOf = (job: JobState): readonly Use[] =>
  job.plan.steps.flatMap((step) => [
    ...step.readings.flatMap((reading) =>
      (own(job.tries, reading.reading) ?? []).flatMap(({ tool }) =>
        tool === undefined ? [] : [{ tool, kind: reading.tool ?? '', what: reading.reading }],
      ),
    ),
    ...(own(job.fasteners, step.step) ?? []).flatMap(({ tool, fastener }) =>
      tool === undefined ? [] : [{ tool, kind: step.tighten?.tool ?? '', what: `${step.step} fastener ${fastener}` }],
    ),
  ]);

const individual = (id: string, kind: string, uses: readonly Use[], around: Surroundings): RecordTool => {
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
  const asked = job.plan.steps.flatMap((step) => [step.tighten?.tool, ...step.readings.map((one) => one.tool)]);
  const kinds = unique(asked.filter((kind) => kind !== undefined));
  const without = kinds.filter((kind) => !individuals.some((tool) => tool.kind === kind));
  return [...individuals, ...without.map((kind) => ({ kind, used: [] }))];
};
