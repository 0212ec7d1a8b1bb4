import { refusal, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { Step } from '../../procedure/model.ts';
import { isDayOver, type Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import type { ToolNow } from '../surroundings.ts';

/** Why an individual tool may not be used at an instant, and what to do; empty where it may. @param found what was found on it last. */
export const individualRefusals = (
  tool: ToolNow,
  wanted: boolean,
  found: ToolNow['found'][number]['what'] | undefined,
  moment: Pick<Moment, 'ms' | 'offset'>,
): readonly Refusal[] => {
  const { kind } = tool;
  if (found === 'dropped' || found === 'wrong')
    return refuse(`${tool.tool} was found ${found}`, `have it checked, or use another ${kind}`);
  if (tool.inDateUntil === undefined)
    return wanted
      ? refuse(`${tool.tool} has no date up to which it is good`, `use another ${kind}, or enter its check`)
      : [];
  return isDayOver(tool.inDateUntil, moment)
    ? refuse(`${tool.tool} was in date until ${tool.inDateUntil}`, `have it checked, or use another ${kind}`)
    : [];
};

const refuse = (what: string, todo: string): readonly Refusal[] => [refusal('tool-out-of-date', what, todo)];

/** True where the page says that a tool of a kind must be in date. */
export const wantsInDate = ({ plan }: Pick<JobState, 'plan'>, kind: string): boolean =>
  plan.gather.tools.find((need) => need.tool === kind)?.inDate === true;

/**
 * Whether a tool of a kind may be used now: in date, and not dropped or found wrong since its last check. The tool is the individual named
 * with the act, else the one in use for its kind.
 */
export const toolRefusals = (
  job: JobState,
  kind: string | undefined,
  individual: string | undefined,
  moment: Moment,
): readonly Refusal[] => {
  if (kind === undefined) return [];
  const wanted = wantsInDate(job, kind);
  const id = individual ?? own(job.tools, kind);
  const tool = id === undefined ? undefined : own(moment.around.tools, id);
  if (!tool) return wanted ? refuse(`no individual ${kind} is named`, `name one in date (use ${kind})`) : [];
  return individualRefusals(tool, wanted, tool.found.at(-1)?.what, moment);
};

/** The refusals for every tool that a step's readings and fasteners use. */
export const toolsOfStep = (job: JobState, step: Step, moment: Moment): readonly Refusal[] =>
  [...new Set([...step.readings.map((reading) => reading.tool), step.tighten?.tool])].flatMap((kind) =>
    toolRefusals(job, kind, undefined, moment),
  );
