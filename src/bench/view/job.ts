import { nameOf } from '../../build/state.ts';
import { runningCures, wetMixes } from '../../build/status.ts';
import { nonconformances } from '../../job/nonconformances.ts';
import { potLifeNow } from '../../job/potlife.ts';
import type { Around } from '../../job/around.ts';
import type { JobState } from '../../job/state.ts';
import { allLatest, resultOf } from '../../job/values.ts';
import { ownVerdict, troublesOf, verdictOfResult } from '../../job/verdicts.ts';
import { currentStep, isClosed, isDone, isSkipped, placeOf, walkedSteps } from '../../job/where.ts';
import type { Step } from '../../procedure/model.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { countdown, spanWords, spokenTime } from '../parts/clock.ts';
import { bar } from '../parts/curve.ts';
import type { Marks } from '../parts/marks.ts';
import { rivetLine, type Rivet } from '../parts/rivets.ts';
import { mark, span, type Row, type Style } from '../parts/rows.ts';
import type { Session } from '../session/state.ts';
import { aroundJob } from '../session/walk.ts';
import type { World } from '../ports.ts';
import type { Block, Canvas } from './page.ts';

export interface Placed {
  readonly world: World;
  readonly job: JobState;
  readonly around: Around;
}

export const placed = (world: World, job: JobState): Placed => ({ world, job, around: aroundJob(world, job) });

export const personName = (world: World, person: string | undefined): string =>
  person === undefined ? '' : (nameOf(world.build, person) ?? person);

export const jobName = (job: JobState): string =>
  job.side === undefined ? job.procedure : `${job.procedure} ${job.side}`;

const openRivet = (step: Step, cures: readonly string[]): Rivet => {
  if (step.hold) return 'holdShut';
  if (cures.includes(step.step)) return 'cure';
  return step.permanent ? 'permanentOpen' : 'open';
};

const doneRivet = (step: Step): Rivet => (step.hold ? 'holdReleased' : step.permanent ? 'permanentDone' : 'driven');

const rivetOf = (job: JobState, step: Step, cures: readonly string[], owed: ReadonlySet<string>): Rivet => {
  if (isSkipped(job, step)) return 'left';
  if (owed.has(step.step) || troublesOf(job, step).length > 0) return 'outside';
  if (isDone(job, step)) return cures.includes(step.step) ? 'cure' : doneRivet(step);
  if (currentStep(job) === step) return openRivet(step, cures);
  return step.hold ? 'holdShut' : cures.includes(step.step) ? 'cure' : step.permanent ? 'permanentOpen' : 'todo';
};

/** The rivet line of a job, and the same in words: `7 of 12, open`. */
export const rivetsOf = (
  { world, job, around }: Placed,
  marks: Marks,
  width: number,
): { readonly line: Row; readonly place: Row } => {
  const cures = runningCures(job, around, world.now.ms).map((one) => one.step.step);
  const owed = new Set(
    nonconformances(job, around)
      .filter((one) => one.open)
      .map((one) => one.step),
  );
  const walked = walkedSteps(job);
  const current = currentStep(job);
  const { number, count } = placeOf(job);
  const words = isClosed(job)
    ? `${count} steps, complete`
    : current
      ? `${number} of ${count}, open`
      : `${count} of ${count}, all finished`;
  return {
    line: rivetLine(
      walked.map((step) => rivetOf(job, step, cures, owed)),
      current ? walked.indexOf(current) : -1,
      marks,
      Math.max(8, width - words.length - 2),
    ),
    place: [mark(words)],
  };
};

interface Clock {
  readonly words: string;
  readonly style: Style;
  readonly seconds: boolean;
}

/** Below this a pot life is told in seconds. */
const lastMinutes = 10 * 60_000;

const potLifeClock = ({ world, job, around }: Placed): Clock | undefined => {
  const life = isClosed(job) ? undefined : potLifeNow(job, wetMixes(job), around, world.now.ms);
  if (!life) return undefined;
  const left = life.ends - world.now.ms;
  if (left < 0) return { words: `pot life of ${life.batch} over`, style: 'outside', seconds: false };
  const short = left < lastMinutes;
  return {
    words: `pot life ${short ? countdown(left) : spanWords(left)} ${life.batch}`,
    style: short ? 'outside' : 'person',
    seconds: short,
  };
};

const cureClocks = ({ world, job, around }: Placed): readonly Clock[] =>
  runningCures(job, around, world.now.ms).flatMap(({ now }) => {
    const stage = now.stages.find((one) => !one.reached);
    return stage
      ? [
          {
            words: `cure ${stage.stage}: ${spanWords(stage.countedMs)} counted`,
            style: 'person' as const,
            seconds: false,
          },
        ]
      : [];
  });

/** All that runs in the build, of the job in view first. */
export const clocksOf = (world: World, job: JobState | undefined): readonly Clock[] => {
  const others = world.build.jobOrder
    .flatMap((id) => world.build.jobs[id] ?? [])
    .filter((one) => one !== job && !isClosed(one));
  const all = [...(job ? [job] : []), ...others].map((one) => placed(world, one));
  return [
    ...all.flatMap((one) => potLifeClock(one) ?? []),
    ...all.flatMap((one) =>
      cureClocks(one).map((clock) =>
        one.job === job ? clock : { ...clock, words: `${clock.words} (${jobName(one.job)})` },
      ),
    ),
  ];
};

export const clockRow = (clocks: readonly Clock[]): Row =>
  clocks.flatMap((clock, index) => [...(index > 0 ? [mark('   ')] : []), span(clock.words, clock.style)]);

/** The end of a pot life, where there is glue that is still to be used. */
export const alarmOf = (world: World): Row | undefined => {
  for (const id of world.build.jobOrder) {
    const job = world.build.jobs[id];
    if (!job || isClosed(job)) continue;
    const { around } = placed(world, job);
    const life = potLifeNow(job, wetMixes(job), around, world.now.ms);
    if (life && life.ends < world.now.ms)
      return [mark('STOP', 'outside'), span(` pot life of ${life.batch} is over: discard what is left`, 'outside')];
  }
  return undefined;
};

const valueRow = (name: string, value: string, verdict: string | undefined, marks: Marks): Row => {
  const sign =
    verdict === 'within'
      ? marks.within
      : verdict === 'outside'
        ? marks.not
        : verdict === 'undecided'
          ? marks.undecided
          : ' ';
  const style: Style =
    verdict === 'within' ? 'order' : verdict === 'outside' ? 'outside' : verdict === 'undecided' ? 'person' : 'plain';
  return [
    mark(`${sign} `, style),
    span(`${name} `, 'quiet'),
    span(value),
    ...(verdict === undefined ? [] : [mark(` ${verdict}`, style)]),
  ];
};

/** A step's values and results as they stand, each with its verdict in word, mark and colour. */
export const valuesOfStep = ({ job }: Placed, step: Step, marks: Marks): readonly Row[] => [
  ...step.readings.flatMap((reading) =>
    allLatest(job, reading).map((taken) =>
      valueRow(
        [reading.reading, taken.position ?? '', reading.times > 1 ? String(taken.n) : '']
          .filter((part) => part !== '')
          .join(' '),
        taken.value,
        ownVerdict(job, reading, taken),
        marks,
      ),
    ),
  ),
  ...step.results.flatMap((result) => {
    const now = resultOf(job, result.result)?.quantity;
    return now ? [valueRow(result.result, printQuantity(now), verdictOfResult(job, result), marks)] : [];
  }),
];

export const allValues = (here: Placed, marks: Marks): readonly Row[] =>
  here.job.plan.steps.flatMap((step) => valuesOfStep(here, step, marks));

const nextSteps = ({ job }: Placed, marks: Marks): readonly Row[] => {
  const walked = walkedSteps(job);
  const current = currentStep(job);
  const at = current ? walked.indexOf(current) : walked.length;
  return walked.slice(Math.max(0, at - 1), at + 6).map((step) => {
    const sign = isDone(job, step)
      ? marks.driven
      : step === current
        ? marks.open
        : step.hold
          ? marks.holdShut
          : step.permanent
            ? marks.permanentOpen
            : marks.todo;
    const style: Style = step === current ? 'strong' : isDone(job, step) ? 'quiet' : 'plain';
    return [mark(`${sign} `, style), span(step.title, style)];
  });
};

const cureRows = (world: World, marks: Marks, width: number): readonly Row[] =>
  world.build.jobOrder
    .flatMap((id) => world.build.jobs[id] ?? [])
    .flatMap((job) =>
      runningCures(job, placed(world, job).around, world.now.ms).flatMap(({ now }) => {
        const stage = now.stages.find((one) => !one.reached);
        if (!stage) return [];
        return [
          [span(`${jobName(job)}: ${stage.stage}`, 'person')] as Row,
          bar(stage.progress, stage.reached, marks, Math.min(24, width)),
          [mark(`counted ${spanWords(stage.countedMs)}, clock ${spanWords(now.clockMs)}`, 'quiet')] as Row,
          ...(stage.forecast === undefined
            ? []
            : [
                [
                  mark(`about ${spokenTime(stage.forecast, world.now.ms, world.now.offset)}, if it stays`, 'quiet'),
                ] as Row,
              ]),
        ];
      }),
    );

/** The desk view's column: what comes next, what was entered, what runs. */
export const sideOf = (world: World, job: JobState | undefined, canvas: Canvas): readonly Block[] => {
  if (!canvas.desk) return [];
  const here = job && placed(world, job);
  const clocks = clocksOf(world, job).filter(({ words }) => words.startsWith('pot life'));
  return [
    ...(here ? [{ title: 'Steps', rows: nextSteps(here, canvas.marks) }] : []),
    {
      title: 'What runs',
      rows: [...clocks.map((clock): Row => [span(clock.words, clock.style)]), ...cureRows(world, canvas.marks, 24)],
    },
    ...(here ? [{ title: 'Entered', rows: allValues(here, canvas.marks).slice(-12) }] : []),
  ];
};

/** Who is signed on, at the right of the first row of every page. */
export const signedOn = (world: World, session: Session): Row => [span(personName(world, session.by), 'quiet')];
