import { jobOf } from '../../../src/aircraft/state.ts';
import { aroundOf } from '../../../src/aircraft/surroundings.ts';
import { overrulable } from '../../../src/job/departure.ts';
import { next } from '../../../src/job/next.ts';
import { wantsAtCompletion } from '../../../src/job/next/gather.ts';
import type { JobState } from '../../../src/job/state.ts';
import { currentStep, isOver } from '../../../src/job/where.ts';
import type { Step } from '../../../src/procedure/model.ts';
import { count } from './tallies.ts';
import { valueFor } from './values.ts';
import { dispose, hour, momentFor, nameLot, overcome, reason, shopNow, waitForCure, type Walker } from './walker.ts';
import { closeItem, doWant } from './wants.ts';

/** The step whose cure a step waits for: its own, else that of the glue it names. */
const cureOf = ({ plan }: JobState, step: Step): Step | undefined =>
  step.cure ? step : plan.steps.find((one) => one.cure && step.afterStage?.cures.includes(one.step));

const usesTool = ({ readings, tighten, mix }: Step, kind: string): boolean =>
  [...readings, tighten, mix].some((one) => one?.tool === kind);

/** What else refuses a step whose wants are all met, and how a person gets past it. */
const pastRefusal = (walker: Walker, job: JobState, step: Step, code: string | undefined): void => {
  const { say, choose, build } = walker;
  const id = job.id;
  if (code === 'gate-open') {
    if (choose.maybe(0.1)) overcome(walker, job, 'gate-open');
    else if (step.gate !== undefined) clearGate(walker, job, step.gate);
    return;
  }
  if (code === 'twin-open') {
    const reading = step.readings.find((one) => one.kind === 'quantity' && one.twin !== undefined);
    if (reading) {
      // Both sides near the same end: one side may have to be done again.
      const value = valueFor(job, reading, true, 0.5) ?? '';
      say({ verb: 'read', object: reading.reading, job: id, data: { value, reason: 'rigged again' } });
      if (walker.lastCode() !== undefined) say({ verb: 'undo', object: step.step, job: id, data: reason });
    }
    return;
  }
  if (code === 'clock') {
    say({ verb: 'clock', object: new Date(build.ms).toISOString().replace('.000Z', 'Z') });
    return;
  }
  if (code === 'cure-not-reached') return waitForCure(walker, cureOf(job, step)?.place);
  const [item] = step.closes;
  if (code === 'part-missing' && item !== undefined) return closeItem(walker, job, item);
  if (code === 'wait') build.ms += hour;
  else if (code === 'tool-out-of-date' || code === 'uncertainty') {
    for (const kind of new Set(build.state().file.tools.map((one) => one.kind))) {
      const good = build.state().file.tools.find((one) => one.kind === kind);
      const isWanted = good && job.plan.steps.some((one) => usesTool(one, kind));
      const found = good && build.state().found[good.tool]?.at(-1)?.what;
      if (isWanted && found !== undefined && found !== 'checked')
        say({ verb: 'tool', object: good.tool, data: { found: 'checked' } });
      if (isWanted && job.tools[kind] !== good.tool)
        say({ verb: 'use', object: kind, job: id, data: { tool: good.tool } });
    }
  } else if (code === 'lot-expired' || code === 'lot-missing') {
    for (const { material } of job.plan.gather.materials) nameLot(walker, id, material);
  } else if (code === 'shop-outside') say({ verb: 'shop', job: id, data: shopNow });
  else if (code === 'nonconformance-open' || code === 'outside' || code === 'undecided') dispose(walker, job);
  else if (code === 'pot-life-over') {
    const batch = job.batches.findLast((one) => one.discarded === undefined && one.superseded === undefined);
    if (batch && choose.maybe(0.6)) say({ verb: 'discard', object: batch.batch, job: id, data: reason });
    else overcome(walker, job, code);
  } else if (overrulable.some((one) => one === code) && choose.maybe(0.7)) overcome(walker, job, code ?? '');
};

/** Settles one thing that a gate wants, wherever in the build it is. */
const clearGate = (walker: Walker, job: JobState, gate: string): void => {
  const { say, choose, build } = walker;
  const sheet = aroundOf(build.state(), job, build.ms).gateSheet(gate);
  const item = choose.any(sheet.open.filter((one) => one.job !== job.id || one.kind !== 'unfinished'));
  const other = item?.job === undefined ? undefined : jobOf(build.state(), item.job);
  if (!item || !other) return;
  const [tag = ''] = item.key.split(' ');
  if (item.kind === 'loose' || item.kind === 'tool')
    say({ verb: 'close', object: tag, job: job.id, data: { count: 1 } });
  else if (item.kind === 'sample') {
    const [, , batch = ''] = item.key.split(' ');
    if (!say({ verb: 'break', object: batch, job: other.id, data: { result: 'held' } }) && choose.maybe(0.5))
      waitForCure(walker, other.plan.steps.find((one) => one.cure)?.place);
  } else if (item.kind === 'nonconformance') dispose(walker, other);
  else if (item.kind === 'finding' && isOver(other)) {
    // Found at a witness point, and the job went on. Only taking it up again lets somebody look.
    const finding = other.findings.find(({ closed }) => closed === undefined);
    say({ verb: 'undo', object: finding?.step ?? '', job: other.id, data: reason });
  } else if (item.kind === 'skipped') {
    const left = other.loose.find((one) => one.tag === tag)?.step ?? '';
    if (other.plan.strict || choose.maybe(0.5))
      say({ verb: 'begin', object: left, job: other.id, data: { with: 'bo' } });
    else say({ verb: 'close', object: tag, job: other.id, data: { count: 0, reason: 'not needed' } });
  } else goOn(walker, other.id);
};

const complete = (walker: Walker, job: JobState): void => {
  const [want] = wantsAtCompletion(job);
  if (want) {
    if (want.want === 'lot') nameLot(walker, job.id, want.material);
    else
      walker.say({
        verb: 'part',
        object: want.part,
        job: job.id,
        data: { serial: `N${walker.build.entries().length}` },
      });
    return;
  }
  if (walker.say({ verb: 'complete', job: job.id })) return;
  pastRefusal(walker, job, job.plan.steps[0] as Step, walker.lastCode());
  if (walker.lastCode() !== undefined && walker.choose.maybe(0.5)) dispose(walker, job);
};

/** One thing more in a job: what `next` says the step wants, else its finish, else the end of the job. */
export const goOn = (walker: Walker, id: string): void => {
  const { build, say, choose, tallies } = walker;
  const job = jobOf(build.state(), id);
  if (!job || isOver(job)) return;
  const step = currentStep(job);
  if (!step) return complete(walker, job);
  // Somebody who does not wait for the look, the cure or the values.
  if (choose.maybe(0.05) && say({ verb: 'finish', object: step.step, job: id })) return;
  const { wants, refusals } = next(job, step, momentFor(walker, job));
  // What is only asked refuses nothing: a person may pass it over.
  const want = choose.maybe(0.9) ? wants[0] : choose.any(wants);
  const isAsked = want !== undefined && 'asked' in want && want.asked && choose.maybe(0.3);
  if (want && !isAsked) {
    doWant(walker, job, step, want);
    if (walker.lastCode() !== undefined) pastRefusal(walker, job, step, walker.lastCode());
    return;
  }
  const isFree = wants.every((one) => 'asked' in one && one.asked) && refusals().length === 0;
  const finished = say({
    verb: 'finish',
    object: step.step,
    job: id,
    ...(choose.maybe(0.05) ? { data: { reason: 'done' } } : {}),
  });
  if (isFree) count(tallies, 'finishes that next foresaw');
  if (isFree && !finished)
    tallies.broken.push(
      `next wants nothing of ${step.step} and refuses nothing, and its finish is refused: ${walker.lastCode() ?? ''}`,
    );
  if (!finished) pastRefusal(walker, job, step, walker.lastCode());
};
