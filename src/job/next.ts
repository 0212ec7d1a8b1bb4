import type { Refusal } from '../fault/fault.ts';
import { once } from '../fault/memo.ts';
import { commitsOf } from '../procedure/ahead.ts';
import type { Step } from '../procedure/model.ts';
import { cureNow } from './cure.ts';
import { departureFor } from './departure.ts';
import { openFindings, standingRelease, unanswered } from './hold.ts';
import type { Moment } from './moment.ts';
import { wantsAtOpening, wantsBefore } from './next/gather.ts';
import { helpersFirst, helpersLast } from './next/helpers.ts';
import type { Want } from './next/want.ts';
import { wantedOf } from './parts/all.ts';
import type { Wanted } from './parts/part.ts';
import { waitFrom } from './parts/wait.ts';
import { potLifeNow } from './potlife.ts';
import { finishRefusals } from './refusals/finishing.ts';
import { mixRefusals } from './refusals/mixing.ts';
import { barsOf } from './refusals/opening.ts';
import type { JobState } from './state.ts';
import { stepStateOf } from './step-state.ts';
import { troublesOf } from './troubles.ts';

const glueWants = (job: JobState, step: Step, { around, ms }: Moment): readonly Want[] => {
  const life = potLifeNow(job, step.inPotLifeOf, around, ms);
  const isOver = life !== undefined && ms > life.ends && !departureFor(job, 'pot-life-over', step);
  return isOver ? [{ want: 'fresh-glue', life }] : [];
};

const troubleWants = (job: JobState, step: Step): readonly Want[] => {
  const troubles = troublesOf(job, step);
  return troubles.length === 0 ? [] : [{ want: 'trouble', troubles }];
};

/** What the parts want, each part after what is asked before it. A tool is asked for once, before the first part that it is used for. */
const partWants = (job: JobState, step: Step, parts: readonly Wanted[], moment: Moment): readonly Want[] => {
  const kinds = new Set<string>();
  const isFirst = (want: Want): boolean => want.want !== 'tool' || !kinds.has(want.kind);
  return parts.flatMap((wanted): readonly Want[] => {
    const before = wantsBefore(job, step, wanted, moment).filter(isFirst);
    for (const want of before) if (want.want === 'tool') kinds.add(want.kind);
    return [...before, { want: 'part', wanted }];
  });
};

/** A look is wanted only once the other parts of its step are entered, because the inspector sees them all. */
const lookWants = (job: JobState, { step, hold }: Step): readonly Want[] => {
  if (!hold || standingRelease(job, step)) return [];
  const [first] = unanswered(job, step);
  return [
    {
      want: 'look',
      hold,
      open: openFindings(job, step),
      asked: hold.kind === 'witness',
      ...(first ? { unanswered: first } : {}),
    },
  ];
};

const cureWants = (job: JobState, step: Step, { around, ms }: Moment): readonly Want[] => {
  const now = cureNow(job, step, around, ms);
  if (!now || now.stages.some(({ stage, reached }) => stage === now.until && reached)) return [];
  return [{ want: 'cure', until: now.until, ...(now.begun === undefined ? {} : { from: now.begun }) }];
};

const waitWants = (job: JobState, step: Step, { around, ms }: Moment): readonly Want[] => {
  if (!step.wait || departureFor(job, 'wait', step)) return [];
  const from = waitFrom(job, step, around);
  if (from === Infinity) return [{ want: 'wait', text: step.wait.text }];
  return ms < from + step.wait.ms ? [{ want: 'wait', text: step.wait.text, from }] : [];
};

const wantsOf = (job: JobState, step: Step, moment: Moment): readonly Want[] => {
  const parts = wantedOf(job, step);
  const isBegun = stepStateOf(job, step.step).begun !== undefined;
  const wantsMix = parts.some(({ part }) => part === 'mix');
  const commits = isBegun ? [] : commitsOf(job.plan, step);
  const helpers = helpersFirst(job, step, moment, { isBegun, wantsMix });
  const last = helpers ?? helpersLast(job, step, moment);
  const bars = barsOf(job, step, moment);
  return [
    ...(bars.length > 0 ? [{ want: 'barred' as const, refusals: bars }] : []),
    ...glueWants(job, step, moment),
    ...wantsAtOpening(job, step, isBegun),
    ...(commits.length > 0 || (!isBegun && step.mix && helpers) ? [{ want: 'begin' as const, commits }] : []),
    ...(helpers ? [helpers] : []),
    ...troubleWants(job, step),
    ...partWants(job, step, parts, moment),
    ...lookWants(job, step),
    ...cureWants(job, step, moment),
    ...waitWants(job, step, moment),
    ...(last && last !== helpers ? [last] : []),
  ];
};

/** What refuses a step now and no departure overrules: its mix, as long as the step still has to be mixed, and its finish. */
const refusalsOf = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const isMixNext = wantedOf(job, step).some(({ part }) => part === 'mix');
  const all = [...(isMixNext ? mixRefusals(job, step, moment) : []), ...finishRefusals(job, step, moment)];
  const standing = all.filter(({ code }) => departureFor(job, code, step) === undefined);
  return [...new Map(standing.map((one) => [`${one.code} ${one.what}`, one])).values()];
};

/** What a step still wants, and what refuses it. */
export interface Next {
  /** In the order in which a person would do them. An empty list means that the step can be finished, unless something refuses it. */
  readonly wants: readonly Want[];
  /** Worked out when somebody asks for the refusals. */
  readonly refusals: () => readonly Refusal[];
}

/** Rule 9 of the design: the one answer to what a step still wants and what would refuse it, for whoever acts at this moment. */
export const next = (job: JobState, step: Step, moment: Moment): Next => ({
  wants: wantsOf(job, step, moment),
  refusals: once(() => refusalsOf(job, step, moment)),
});
