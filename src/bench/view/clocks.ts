import { jobsWith } from '../../aircraft/state.ts';
import { underWay } from '../../aircraft/traits.ts';
import { countedWords } from '../../job/stage-words.ts';
import { deadlinesOf } from '../../job/refusals/interval.ts';
import type { JobState } from '../../job/state.ts';
import { countdown, spanWords } from '../drawing/clock.ts';
import { mark, span, type Row, type Style } from '../drawing/rows.ts';
import { jobNow, type JobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { glueOver, potLifeFor } from '../session/pot-life.ts';
import { jobName } from './job.ts';

/** One timer, in words. */
export interface Timer {
  readonly words: string;
  readonly style: Style;
  readonly seconds: boolean;
}

/** With less than this left (ms), a pot life is shown in seconds. */
const lastMinutes = 10 * 60_000;

const potLifeClock = (here: JobNow): Timer | undefined => {
  const { facts } = here;
  const life = potLifeFor(here);
  if (!life) return undefined;
  const left = life.ends - facts.now.ms;
  // The bell rings every ten seconds for the first minute, so the screen still ticks by seconds.
  if (left < 0) return { words: `pot life of ${life.batch} over`, style: 'outside', seconds: left > -60_000 };
  const short = left < lastMinutes;
  return {
    words: `pot life ${short ? countdown(left) : spanWords(left)} ${life.batch}`,
    style: short ? 'outside' : 'person',
    seconds: short,
  };
};

const cureClocks = ({ cures }: JobNow): readonly Timer[] =>
  cures().flatMap(({ now }) => {
    const stage = now.stages.find((one) => !one.reached);
    return stage
      ? [
          {
            words: `cure ${stage.stage}: ${countedWords(stage, spanWords)} counted`,
            style: 'person' as const,
            seconds: false,
          },
        ]
      : [];
  });

/** The longest interval before a step that is still to be begun. */
const beginClocks = ({ facts, job, around }: JobNow): readonly Timer[] =>
  deadlinesOf(job, { around }).map(({ step, by }) => {
    const left = by - facts.now.ms;
    return left < 0
      ? { words: `too late to begin: ${step.title}`, style: 'outside', seconds: false }
      : { words: `begin within ${spanWords(left)}: ${step.title}`, style: 'person', seconds: false };
  });

/** All timers of the build, those of the job in view first. */
export const clocksOf = (facts: BenchFacts, job: JobState | undefined): readonly Timer[] => {
  const others = jobsWith(facts.build, underWay).filter((one) => one !== job);
  const all = [...(job ? [job] : []), ...others].map((one) => jobNow(facts, one));
  const doubt: Timer = { words: 'the clock is in doubt: enter the true time', style: 'outside', seconds: false };
  return [
    ...(facts.build.clockTrouble ? [doubt] : []),
    ...all.flatMap((one) => potLifeClock(one) ?? []),
    ...all.flatMap((one) =>
      [...beginClocks(one), ...cureClocks(one)].map((clock) =>
        one.job === job ? clock : { ...clock, words: `${clock.words} (${jobName(one.job)})` },
      ),
    ),
  ];
};

export const clockRow = (clocks: readonly Timer[]): Row =>
  clocks.flatMap((clock, index) => [...(index > 0 ? [mark('   ')] : []), span(clock.words, clock.style)]);

/** The alarm at the end of a pot life of glue that is still to be used. */
export const alarmOf = (facts: BenchFacts): Row | undefined => {
  for (const job of jobsWith(facts.build, underWay)) {
    const life = glueOver(jobNow(facts, job));
    if (life) return [mark('STOP', 'outside'), span(` pot life of ${life.batch} is over: discard it`, 'outside')];
  }
  return undefined;
};
