import { jobsOf } from '../../../src/aircraft/state.ts';
import { powersToLook } from '../../../src/job/hold.ts';
import type { Data } from '../../../src/job/entry.ts';
import type { Want } from '../../../src/job/next/want.ts';
import type { JobState } from '../../../src/job/state.ts';
import type { Step } from '../../../src/procedure/model.ts';
import { people } from './pages.ts';
import { fastenerFor, inputsOf, valueFor } from './values.ts';
import { dispose, hour, nameLot, overcome, reason, shopNow, waitForCure, type Walker } from './walker.ts';

/* Doing what a step wants, as a person would who reads the screen: mostly well. */

/** Somebody with a power that the hold wants, mostly one who did none of the work. */
const lookerFor = ({ choose }: Walker, hold: NonNullable<Step['hold']>): string => {
  const may = powersToLook(hold);
  const able = people.filter(({ powers }) => powers.some((power) => may.includes(power))).map(({ person }) => person);
  return choose.maybe(0.85) ? (able.filter((one) => one !== 'hal')[0] ?? 'tobias') : choose.one(able);
};

const look = (walker: Walker, job: JobState, { step, hold }: Step, want: Want & { want: 'look' }): void => {
  const { say, choose, build } = walker;
  if (!hold) return;
  const by = lookerFor(walker, hold);
  const id = job.id;
  if (want.unanswered) {
    const remark = 'put right';
    if (
      !say({
        verb: 'answer',
        object: want.unanswered.number,
        job: id,
        by: choose.weighted([
          [9, 'bo'],
          [1, by],
        ]),
        data: { remark },
      })
    )
      return;
    return;
  }
  if (hold.kind === 'witness' && choose.maybe(0.4)) {
    say({ verb: 'invite', object: step, job: id, data: { who: 'marit', how: 'by telephone' } });
    say({ verb: 'finish', object: step, job: id });
    return;
  }
  if (choose.maybe(0.1)) {
    say({
      verb: 'refuse',
      object: step,
      job: id,
      by,
      data: { findings: choose.maybe(0.3) ? ['edge rough', 'gap'] : ['edge rough'] },
    });
    return;
  }
  if (choose.maybe(0.04)) say({ verb: 'reinspect', object: step, job: id, by, data: { remark: 'looked, not yet' } });
  const remote = choose.maybe(0.08) ? { remote: true, shown: 'a photo', 'not-judged': 'the back' } : {};
  if (say({ verb: 'release', object: step, job: id, by, data: { remark: 'looked at', ...remote } })) return;
  if (walker.lastCode() === 'own-work' && hold.by === 'inspector')
    say({ verb: 'release', object: step, job: id, by: 'vera', data: { remark: 'looked at' } });
  if (walker.lastCode() === 'wait') build.ms += 2 * hour;
  if (walker.lastCode() === 'reason-missing')
    say({ verb: 'release', object: step, job: id, by, data: { reason: 'nobody else is here' } });
};

const takePart = (walker: Walker, job: JobState, step: Step, want: Want & { want: 'part' }): void => {
  const { say, choose } = walker;
  const { wanted } = want;
  const id = job.id;
  if (wanted.part === 'reading') {
    const { reading, slot } = wanted;
    const value = valueFor(job, reading, !choose.maybe(0.07), choose.below(100) / 100) ?? 'seen';
    const at = slot.position === undefined ? {} : { position: slot.position };
    const by = choose.weighted([
      [8, 'ines'],
      [2, 'bo'],
      [0.5, 'hal'],
    ]);
    say({
      verb: 'read',
      object: reading.reading,
      job: id,
      by,
      data: { value, ...at, ...(reading.times > 1 ? { n: slot.n } : {}) },
    });
    return;
  }
  if (wanted.part === 'tighten') {
    const values = wanted.missing.some((one) => one !== 'mark')
      ? fastenerFor(job, wanted.tighten, !choose.maybe(0.06), choose.below(100) / 100)
      : {};
    say({ verb: 'tighten', object: step.step, job: id, data: { fastener: wanted.fastener, ...values, mark: true } });
    return;
  }
  if (wanted.part === 'mix') {
    const weights = choose.maybe(0.07)
      ? { resin: '80 g', hardener: '60 g' }
      : choose.maybe(0.05)
        ? { resin: '10 g', hardener: '4.4 g' }
        : mixWeights(wanted.mix);
    const named = {
      with: choose.weighted([
        [6, 'bo'],
        [1, 'Tobias '],
        [1, 'ADA'],
        [1, 'Rhona'],
      ]),
    };
    const known = choose.maybe(0.6) ? { temperature: '21 °C' } : {};
    say({ verb: 'mix', object: step.step, job: id, data: { weights, ...(choose.maybe(0.9) ? named : {}), ...known } });
    return;
  }
  if (wanted.part === 'break')
    say({ verb: 'break', object: wanted.sample, job: id, data: { result: choose.maybe(0.06) ? 'failed' : 'held' } });
  if (wanted.part === 'hold')
    say({ verb: 'invite', object: step.step, job: id, data: { who: 'marit', how: 'by telephone' } });
  if (wanted.part === 'photo') say({ verb: 'photo', object: wanted.photo.photo, job: id, data: { file: 'a.jpg' } });
  if (wanted.part === 'loose' && 'leave' in wanted) {
    const { item, count: many, left, because, before } = wanted.leave;
    const gate = walker.lastCode() === 'gate-passed' ? 'first-flight' : before;
    say({ verb: 'loose', object: item, job: id, data: { count: many, left, because, before: gate } });
    if (walker.lastCode() === 'gate-passed')
      say({ verb: 'loose', object: item, job: id, data: { count: many, left, because, before: 'first-flight' } });
  }
  if (wanted.part === 'loose' && 'close' in wanted) closeItem(walker, job, wanted.close);
  if (wanted.part === 'result') againFor(walker, job, step, wanted.result);
};

/** A result that cannot be calculated: one of its readings is taken anew. */
const againFor = ({ say, choose }: Walker, job: JobState, step: Step, result: string): void => {
  const from = step.results.filter((one) => one.result === result).flatMap(inputsOf);
  const reading = choose.any(
    job.plan.steps.flatMap(({ readings }) => readings).filter((one) => from.includes(one.reading)),
  );
  if (reading)
    say({
      verb: 'read',
      object: reading.reading,
      job: job.id,
      data: { value: valueFor(job, reading, true, 0.5) ?? '', reason: 'again' },
    });
};

const mixWeights = ({ ratio, by }: NonNullable<Step['mix']>): Data => {
  const unit = by === 'weight' ? 'g' : 'ml';
  const base = Number(ratio[0]?.share ?? 1);
  return Object.fromEntries(
    ratio.map(({ part, share }) => [part, `${Number(((Number(share) / base) * 60).toFixed(3))} ${unit}`]),
  );
};

export const closeItem = ({ say, build, choose }: Walker, job: JobState, item: string): void => {
  const all = jobsOf(build.state()).flatMap((one) => one.loose.map((tag) => ({ ...tag, job: one.id })));
  const open = all.filter(
    (one) =>
      one.item === item && one.closings.reduce((sum, each) => sum + each.count + (each.gone ?? 0), 0) < one.count,
  );
  const tag = choose.any(open);
  if (!tag) {
    say({ verb: 'close', object: item, job: job.id, data: { count: 0, reason: 'nothing was there' } });
    return;
  }
  const left = tag.count - tag.closings.reduce((sum, each) => sum + each.count, 0);
  say({ verb: 'close', object: tag.tag, job: job.id, data: { count: choose.maybe(0.2) ? 1 : left } });
};

/** Does what a step wants first, as a person would who reads the screen. True where it may be finished as far as `next` says. */
export const doWant = (walker: Walker, job: JobState, step: Step, want: Want): void => {
  const { say, choose, build } = walker;
  const id = job.id;
  if (want.want === 'barred') {
    const code = want.refusals[0]?.code ?? '';
    if (code === 'covered' && choose.maybe(0.5) && overcome(walker, job, code)) return;
    if (code === 'too-late' && choose.maybe(0.5) && overcome(walker, job, code)) return;
    if (code === 'too-late' && step.noLaterThan)
      say({ verb: 'undo', object: step.noLaterThan.after[0] ?? '', job: id, data: reason });
    else say({ verb: 'skip', object: step.step, job: id, data: { ...reason, before: 'first-flight' } });
  } else if (want.want === 'fresh-glue') {
    if (choose.maybe(0.4) && overcome(walker, job, 'pot-life-over')) return;
    say({ verb: 'discard', object: want.life.batch, job: id, data: reason });
  } else if (want.want === 'begin') say({ verb: 'begin', object: step.step, job: id, data: { with: 'bo' } });
  else if (want.want === 'helpers') {
    const verb = want.at === 'begin' ? 'begin' : 'finish';
    say({
      verb,
      object: step.step,
      job: id,
      data: {
        with: choose.weighted([
          [6, want.needed > 1 ? 'bo, Rhona' : 'bo'],
          [1, 'Inés Varrow'],
          [1, 'ada'],
        ]),
      },
    });
  } else if (want.want === 'trouble') trouble(walker, job, want);
  else if (want.want === 'tool') {
    const known = build.state().file.tools.filter(({ kind }) => kind === want.kind);
    say({
      verb: 'use',
      object: want.kind,
      job: id,
      data: { tool: choose.maybe(0.8) ? (known[0]?.tool ?? '') : choose.one(known).tool },
    });
  } else if (want.want === 'lot') nameLot(walker, id, want.material);
  else if (want.want === 'serial')
    say({ verb: 'part', object: want.part, job: id, data: { serial: `N${build.entries().length}` } });
  else if (want.want === 'shop')
    say({ verb: 'shop', job: id, data: choose.maybe(0.1) ? { ...shopNow, humidity: '90 %' } : shopNow });
  else if (want.want === 'part') takePart(walker, job, step, want);
  else if (want.want === 'look') look(walker, job, step, want);
  else if (want.want === 'cure') waitForCure(walker, step.place);
  else if (want.want === 'wait') build.ms += hour;
};

const trouble = (walker: Walker, job: JobState, { troubles }: Want & { want: 'trouble' }): void => {
  const { say, choose } = walker;
  const one = choose.one(troubles);
  const reading = job.plan.steps.flatMap(({ readings }) => readings).find(({ reading: id }) => id === one.on);
  const isTryAgain = one.verdict !== 'refused' && one.isFinal !== true && choose.maybe(0.6);
  if (reading && isTryAgain) {
    const value = valueFor(job, reading, choose.maybe(0.9), choose.below(100) / 100) ?? '';
    const at = {
      ...(one.position === undefined ? {} : { position: one.position }),
      ...(one.n === undefined ? {} : { n: one.n }),
    };
    if (say({ verb: 'read', object: one.on, job: job.id, data: { value, ...at, reason: 'planed it' } })) return;
  }
  dispose(walker, job);
};
