import type { Surroundings } from '../job/surroundings.ts';
import { cureNow, type CureNow } from '../job/cure.ts';
import type { JobState } from '../job/state.ts';
import type { Cure, Step } from '../procedure/model.ts';
import { printDuration } from '../quantity/time.ts';
import type { RecordCure } from './document-step.ts';
import { ifSo, present, unlessEmpty } from './plain.ts';
import { asOf, instantMs, printed } from './times.ts';
import { own } from '../fault/own.ts';

const stagesOf = (cure: Cure, now: CureNow): RecordCure['stages'] =>
  now.stages.map((stage) => ({
    stage: stage.stage,
    needs: (cure.stages.find((one) => one.stage === stage.stage)?.points ?? []).map(
      ({ time, at }) => `${time.text} at ${at.text}`,
    ),
    counted: printDuration(stage.countedMs),
    needed: printDuration(stage.needMs),
    reached: stage.reached,
  }));

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

/** The typed temperatures that the cure rests on: the last one before it began, and those up to the time it is told for. */
const readingsOf = (
  job: JobState,
  step: Step,
  around: Surroundings,
  now: CureNow,
  at: number,
): RecordCure['readings'] => {
  const marks = around.temperatures(step.place ?? '').toSorted((a, b) => a.ms - b.ms);
  const begun = now.begun;
  if (begun === undefined) return [];
  const first = marks.findLast((mark) => mark.ms <= begun)?.ms ?? begun;
  return marks
    .filter((mark) => mark.ms >= first && mark.ms <= at)
    .map((mark) =>
      present({
        entry: mark.entry,
        when: printed(job, mark.ms),
        temperature: mark.temperature,
        lowest: mark.lowest,
        doubtful: ifSo(mark.doubtful),
      }),
    );
};

/** The logs that reach into the time of the cure, the struck ones too. */
const logsOf = (job: JobState, step: Step, around: Surroundings, now: CureNow, at: number): RecordCure['logs'] => {
  const { begun } = now;
  if (begun === undefined) return undefined;
  const inside = around.logs(step.place ?? '').filter(({ first, last }) => last >= begun && first <= at);
  return unlessEmpty(
    inside.map(({ entry, file, sha256, count, first, last, struck }) =>
      present({
        entry,
        file,
        sha256,
        rows: count,
        from: printed(job, first),
        to: printed(job, last),
        struck: struck?.reason,
      }),
    ),
  );
};

/** A cure: clock hours and counted hours side by side, for the time when its step was finished, else for the record's own. */
export const cureRecorded = (job: JobState, step: Step, cure: Cure, around: Surroundings): RecordCure => {
  const at = own(job.steps, step.step)?.finished?.when ?? asOf(job);
  const now = cureNow(job, step, around, instantMs(at));
  return present({
    of: cure.of,
    until: cure.until,
    floor: cure.floor.text,
    'reading-every': cure.readingEvery?.text,
    between: cure.between,
    source: cure.source,
    begun: now?.begun === undefined ? undefined : printed(job, now.begun),
    'as-of': now?.begun === undefined ? undefined : at,
    clock: now?.begun === undefined ? undefined : printDuration(now.clockMs),
    stages: now ? stagesOf(cure, now) : [],
    intervals: now ? intervalsOf(job, now) : [],
    readings: now ? readingsOf(job, step, around, now, instantMs(at)) : [],
    logs: now && logsOf(job, step, around, now, instantMs(at)),
  });
};
