import * as z from 'zod/mini';
import { own } from '../../fault/own.ts';
import { cureNow, msOf, type CureNow, type StageNow } from '../../job/cure.ts';
import { stageReachedAt } from '../../job/cure-reached.ts';
import type { JobState } from '../../job/state.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import type { Cure, Step } from '../../procedure/model.ts';
import { printDuration } from '../../quantity/time.ts';
import { ifSo, present, presentOf, unlessEmpty } from '../plain.ts';
import { entry, hash, instant, optionalShape, textShape, textsShape, wholeShape, yes, type Frozen } from '../shapes.ts';
import { asOf, printed } from '../times.ts';
import type { RecordedPart } from './part.ts';

const stageShape = z.strictObject({
  stage: textShape,
  /** The times and temperatures that the maker states. */
  needs: textsShape,
  counted: textShape,
  needed: textShape,
  reached: z.boolean(),
  /** When the stage was reached; where it was not, the instant up to which it was counted. */
  'as-of': optionalShape(instant),
});

const intervalShape = z.strictObject({
  from: instant,
  to: instant,
  temperature: textShape,
  counted: z.boolean(),
  /** Why it counted nothing. */
  why: optionalShape(textShape),
});

const temperatureShape = z.strictObject({
  entry,
  when: instant,
  temperature: textShape,
  lowest: optionalShape(textShape),
  /** From when `lowest` counts. */
  since: optionalShape(instant),
  doubtful: optionalShape(yes),
});

const logShape = z.strictObject({
  entry,
  file: textShape,
  sha256: hash,
  rows: wholeShape,
  from: instant,
  to: instant,
  /** Why it was struck. */
  struck: optionalShape(textShape),
});

const cureShape = z.strictObject({
  of: textsShape,
  until: textShape,
  floor: textShape,
  'reading-every': optionalShape(textShape),
  /** `stated`: the colder point's rate between two points. `arrhenius`: the author's choice of a curve between them. */
  between: z.enum(['stated', 'arrhenius']),
  source: optionalShape(textShape),
  begun: optionalShape(instant),
  /** The time for which the clock is given: when the last stage was reached, else when something last counted or was entered. */
  'as-of': optionalShape(instant),
  /** Hours by the clock, to be compared with `counted` of each stage. */
  clock: optionalShape(textShape),
  stages: z.array(stageShape),
  /**
   * What counted between two temperatures, and why a stretch counted nothing. Neighbouring rows of a log that count alike are one
   * stretch, given with the coldest of its temperatures.
   */
  intervals: z.array(intervalShape),
  /** The temperatures typed for the place. */
  readings: z.array(temperatureShape),
  /** The logs imported for the place: each file by its hash among the attachments, and how many rows it has. */
  logs: optionalShape(z.array(logShape)),
});

export type RecordCure = Frozen<z.infer<typeof cureShape>>;

/** A cure that has begun, and the time for which the record shows it. `from` and `until`: ms since 1970. */
interface Running {
  readonly job: JobState;
  readonly place: string;
  readonly around: Surroundings;
  readonly now: CureNow;
  readonly from: number;
  readonly until: number;
}

/** `18 h`; where a stage has several points, `48 %: 20 h at 18 °C, 4 h at 25 °C`. */
const countedText = ({ needMs, countedMs, percent, atPoints }: StageNow): string => {
  if (needMs !== undefined) return printDuration(countedMs);
  const times = atPoints.filter(({ ms }) => ms > 0).map(({ at, ms }) => `${printDuration(ms)} at ${at}`);
  return times.length === 0 ? `${percent} %` : `${percent} %: ${times.join(', ')}`;
};

/** Each stage as of its own instant: the one at which it was reached, else the last that the record knows of. */
const stagesOf = (job: JobState, step: Step, cure: Cure, { stated, until }: Stated): RecordCure['stages'] =>
  stated.map(({ stage, at }) =>
    present({
      stage: stage.stage,
      needs: (cure.stages.find((one) => one.stage === stage.stage)?.points ?? []).map(
        ({ time, at: warmth }) => `${time.text} at ${warmth.text}`,
      ),
      counted: countedText(stage),
      needed: stage.needMs === undefined ? '100 %' : printDuration(stage.needMs),
      reached: stage.reached,
      'as-of': until === undefined ? undefined : printed(job, at ?? until),
    }),
  );

const intervalsOf = (job: JobState, now: CureNow): RecordCure['intervals'] =>
  now.intervals.map((interval) =>
    present({
      from: printed(job, interval.from),
      to: printed(job, interval.to),
      temperature: interval.temperature,
      counted: interval.counted,
      why: interval.why,
    }),
  );

/** The typed temperatures that the cure is counted from: the last one before it began, and all later ones. */
const readingsOf = ({ job, place, around, from, until }: Running): RecordCure['readings'] => {
  const marks = around.temperatures(place).toSorted((a, b) => a.ms - b.ms);
  const first = marks.findLast((mark) => mark.ms <= from)?.ms ?? from;
  return marks
    .filter((mark) => mark.ms >= first && mark.ms <= until)
    .map((mark) =>
      present({
        entry: mark.entry,
        when: printed(job, mark.ms),
        temperature: mark.temperature,
        lowest: mark.lowest,
        since: mark.since === undefined ? undefined : printed(job, mark.since),
        doubtful: ifSo(mark.doubtful),
      }),
    );
};

/** The logs that overlap the cure, struck ones too. */
const logsOf = ({ job, place, around, from, until }: Running): RecordCure['logs'] =>
  unlessEmpty(
    around
      .logs(place)
      .filter(({ first, last }) => last >= from && first <= until)
      .map((log) =>
        present({
          entry: log.entry,
          file: log.file,
          sha256: log.sha256,
          rows: log.count,
          from: printed(job, log.first),
          to: printed(job, log.last),
          struck: log.struck?.reason,
        }),
      ),
  );

interface Stated {
  /** Every stage, and when it was reached, ms since 1970. */
  readonly stated: readonly { readonly stage: StageNow; readonly at?: number }[];
  /** The last instant that the record speaks of, ms since 1970; absent where the cure has not begun. */
  readonly until?: number;
  readonly now?: CureNow;
}

/** The last time that counted towards anything, ms since 1970. */
const lastCounted = (now: CureNow): number =>
  Math.max(0, ...now.intervals.filter((one) => one.counted).map(({ to }) => to));

/**
 * A cure as a record states it. Later stages go on being counted after the step was finished, from all temperatures of the place, so a stage
 * may be reached long after. The record does not change by time alone: it speaks of the last entry that says something of the cure.
 */
const statedOf = (job: JobState, step: Step, cure: Cure, around: Surroundings): Stated => {
  const finished = own(job.steps, step.step)?.finished?.when;
  const entered = Math.max(msOf(asOf(job)), finished === undefined ? 0 : msOf(finished));
  const marks = around.temperatures(step.place ?? '').map(({ ms }) => ms);
  const latest = Math.max(entered, ...marks, ...around.logs(step.place ?? '').map(({ last }) => last));
  const all = cureNow(job, step, around, latest);
  if (all?.begun === undefined) return { stated: (all?.stages ?? []).map((stage) => ({ stage })) };
  const reached = cure.stages.map(({ stage }) => stageReachedAt(job, step, stage, around, latest));
  const whole = Math.max(...reached.map((at) => at ?? Infinity));
  const until = whole === Infinity ? Math.max(entered, lastCounted(all)) : whole;
  const now = cureNow(job, step, around, until);
  return {
    until,
    ...(now === undefined ? {} : { now }),
    stated: cure.stages.flatMap((_, index) => {
      const at = reached[index];
      const stage = cureNow(job, step, around, at ?? until)?.stages[index];
      return stage === undefined ? [] : [{ stage, ...(at === undefined ? {} : { at }) }];
    }),
  };
};

/** Clock hours and counted hours side by side. */
const cureOf = (job: JobState, step: Step, cure: Cure, around: Surroundings): RecordCure => {
  const stated = statedOf(job, step, cure, around);
  const { now, until } = stated;
  const from = now?.begun;
  const running =
    now === undefined || from === undefined || until === undefined
      ? undefined
      : { job, place: step.place ?? '', around, now, from, until };
  return presentOf<RecordCure>({
    of: cure.of,
    until: cure.until,
    floor: cure.floor.text,
    'reading-every': cure.readingEvery?.text,
    between: cure.between,
    source: cure.source,
    begun: running && printed(job, running.from),
    'as-of': running && printed(job, running.until),
    clock: running && printDuration(running.now.clockMs),
    stages: stagesOf(job, step, cure, stated),
    intervals: now ? intervalsOf(job, now) : [],
    readings: running ? readingsOf(running) : [],
    logs: running && logsOf(running),
  });
};

export const recordedCure: RecordedPart<'cure', typeof cureShape> = {
  slot: 'cure',
  shape: cureShape,
  write: (job, step, around) => step.cure && cureOf(job, step, step.cure, around),
};
