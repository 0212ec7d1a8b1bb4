import { jobOf, jobsOf } from '../../../src/aircraft/state.ts';
import type { Data } from '../../../src/job/entry.ts';
import type { JobState } from '../../../src/job/state.ts';
import { currentStep } from '../../../src/job/where.ts';
import type { Step } from '../../../src/procedure/model.ts';
import { overrulable } from '../../../src/job/departure.ts';
import { departing, dispose, hour, nameLot, type Walker } from './walker.ts';
import { valueFor } from './values.ts';

/* What people do beside the next thing: slips, second thoughts, things done out of order, and what only some of them may do. */

const because = { because: 'second thoughts' };

type Oddity = (walker: Walker, job: JobState, step: Step | undefined) => void;

const finishedSteps = (job: JobState): readonly Step[] =>
  job.plan.steps.filter(({ step }) => job.steps[step]?.state === 'done');

const readingsOf = (job: JobState) => job.plan.steps.flatMap(({ readings }) => readings);

/** The later steps are chosen more often, so that a walk is not thrown back to its beginning each time. */
const lateOne = <T>({ choose }: Walker, list: readonly T[]): T | undefined =>
  choose.any(choose.maybe(0.7) ? list.slice(-3) : list);

const undo: Oddity = (walker, job) => {
  const target = lateOne(walker, finishedSteps(job));
  if (target) walker.say({ verb: 'undo', object: target.step, job: job.id, data: because });
};

/** What a correction may say of an entry, by its type. */
const rightValue = ({ choose }: Walker, job: JobState, type: string, entry: string): Data | string | undefined => {
  if (type === 'read') {
    const reading = readingsOf(job).find(({ reading: id }) => job.tries[id]?.some((one) => one.entry === entry));
    if (choose.maybe(0.15)) return { tool: choose.one(['CA-1', 'CA-2', 'CA-3']) };
    return reading && valueFor(job, reading, choose.maybe(0.8), choose.below(100) / 100);
  }
  if (type === 'mix')
    return choose.one<Data>([
      { hardener: '44.2 g' },
      { hardener: '60 g' },
      { temperature: '30 °C' },
      { with: choose.one(['bo', 'ada', 'Tobias Ferring']) },
    ]);
  if (type === 'break') return { result: choose.one(['held', 'failed']) };
  if (type === 'begin' || type === 'finish') return { with: choose.one(['bo', 'tobias', 'none']) };
  if (type === 'tighten') return choose.one<Data>([{ torque: '175 in·lb' }, { torque: '250 in·lb' }, { tool: 'TW-2' }]);
  if (type === 'photo') return { photo: 'b.jpg' };
  if (type === 'answer') return 'put right, and looked at again';
  if (type === 'lot') return choose.one<Data>([{ number: 'L-2' }, { 'use-by': '2029-01-31' }]);
  if (type === 'close') return '1';
  if (type === 'depart') return { because: 'said better' };
  return type === 'shop' ? { humidity: '60 %' } : undefined;
};

const correct: Oddity = (walker, job) => {
  const { choose, say } = walker;
  const line = choose.maybe(0.6) ? choose.any(job.log.filter(({ type }) => type === 'read')) : choose.any(job.log);
  const value = line && rightValue(walker, job, line.type, line.entry);
  if (!line || value === undefined) return;
  const by = choose.weighted([
    [6, 'ines'],
    [2, 'bo'],
    [1, 'tobias'],
    [1, 'hal'],
  ]);
  say({ verb: 'correct', object: line.entry, job: job.id, by, data: { value, reason: 'misread' } });
};

/** Work that a rule would refuse, and that is done already. */
const done: Oddity = (walker, job, step) => {
  const { choose, say } = walker;
  const on = choose.maybe(0.5) ? step : choose.any(job.plan.steps);
  if (!on) return;
  const reading = choose.any(on.readings);
  const data = { done: 'it was done before I looked' };
  const id = job.id;
  if (reading) {
    const value = valueFor(job, reading, choose.maybe(0.6), 0.5) ?? 'seen';
    say({
      verb: 'read',
      object: reading.reading,
      job: id,
      data: { ...data, value, ...(reading.times > 1 ? { n: 1 } : {}) },
    });
  } else if (on.mix)
    say({ verb: 'mix', object: on.step, job: id, data: { ...data, weights: { resin: '100 g', hardener: '44 g' } } });
  else say({ verb: choose.one(['begin', 'finish']), object: on.step, job: id, data });
};

const wrongPerson: Oddity = ({ choose, say }, job, step) => {
  if (!step) return;
  const by = choose.one(['tobias', 'marit', 'quillon', 'ada']);
  const verb = choose.one(['begin', 'finish', 'undo', 'skip'] as const);
  const data = verb === 'undo' ? because : verb === 'skip' ? { ...because, before: 'first-flight' } : {};
  say({ verb, object: step.step, job: job.id, by, data });
};

/** Someone looks who may not: the builder, or an inspector who lent a hand; or nobody may yet. */
const wrongLook: Oddity = ({ choose, say }, job) => {
  const hold = choose.any(job.plan.steps.filter((one) => one.hold !== undefined));
  if (!hold) return;
  const by = choose.one(['ines', 'bo', 'hal', 'hal', 'marit', 'ada', 'tobias']);
  const verb = choose.one(['release', 'release', 'refuse'] as const);
  const data =
    verb === 'refuse'
      ? { findings: ['not so'] }
      : { remark: 'fine', ...(choose.maybe(0.2) ? { reason: 'alone' } : {}) };
  say({ verb, object: hold.step, job: job.id, by, data });
};

const wrongOrder: Oddity = ({ choose, say }, job) => {
  const on = choose.one(job.plan.steps);
  const by = choose.weighted([
    [4, 'ines'],
    [1, 'hal'],
  ]);
  say({ verb: choose.one(['begin', 'finish']), object: on.step, job: job.id, by, data: {} });
};

/** Time passes: an hour, a night, a month. */
const later: Oddity = ({ build, choose }) => {
  build.ms += choose.weighted([
    [6, hour],
    [3, 14 * hour],
    [1, 30 * 24 * hour],
  ]);
};

const tool: Oddity = ({ choose, say, build }) => {
  const { tool: id } = choose.one(build.state().file.tools);
  say({ verb: 'tool', object: id, data: { found: choose.one(['dropped', 'wrong', 'checked', 'checked']) } });
};

const otherTool: Oddity = ({ choose, say, build }, job) => {
  const { tool: id, kind } = choose.one(build.state().file.tools);
  say({ verb: 'use', object: kind, job: job.id, data: { tool: id } });
};

const skip: Oddity = ({ choose, say }, job, step) => {
  const before = choose.one(['hull-close', 'first-flight']);
  if (step) say({ verb: 'skip', object: step.step, job: job.id, data: { ...because, before } });
};

const takeUp: Oddity = ({ choose, say }, job) => {
  const left = choose.any(job.plan.steps.filter(({ step }) => job.steps[step]?.state === 'skipped'));
  const tag = left && job.steps[left.step]?.skip?.tag;
  if (!left || tag === undefined) return;
  if (choose.maybe(0.3))
    say({ verb: 'close', object: tag, job: job.id, data: { count: 0, reason: 'not needed here' } });
  else say({ verb: 'begin', object: left.step, job: job.id, data: { with: 'bo' } });
};

const loose: Oddity = ({ choose, say }, job) => {
  const before = choose.one(['hull-close', 'first-flight']);
  say({
    verb: 'loose',
    object: 'guard',
    job: job.id,
    data: { count: 1 + choose.below(2), left: 'off', before, ...because },
  });
};

const close: Oddity = ({ choose, say, build }, job) => {
  const tags = jobsOf(build.state()).flatMap((one) => one.loose.filter(({ skipped }) => !skipped));
  const tag = choose.any(tags);
  if (tag) say({ verb: 'close', object: tag.tag, job: job.id, data: { count: 1 } });
};

const depart: Oddity = ({ choose, say }, job) => {
  const code = choose.maybe(0.9) ? choose.one(overrulable) : 'manual';
  const agreed = choose.maybe(0.2) ? { agreed: 'quillon' } : {};
  say({ verb: 'depart', object: code, job: job.id, data: { ...departing, ...agreed } });
};

const move: Oddity = ({ choose, say, build }, job) => {
  const marks = [...build.pages.read.values()].flatMap((one) =>
    one.procedure === job.procedure && one.revision !== job.revision ? [one.revision] : [],
  );
  const mark = choose.any(marks);
  if (mark === undefined) return;
  if (choose.maybe(0.8)) say({ verb: 'move', object: mark, job: job.id });
  else {
    const reading = choose.any(readingsOf(job));
    const as = choose.one(['comply', 'not-applicable', 'record-only']);
    if (reading)
      say({
        verb: 'resolve',
        object: reading.reading,
        job: job.id,
        data: { 'as-what': as, reason: 'decided', revision: mark },
      });
  }
};

const discard: Oddity = ({ choose, say }, job) => {
  const batch = choose.any(job.batches);
  if (batch) say({ verb: 'discard', object: batch.batch, job: job.id, data: because });
};

const reread: Oddity = ({ choose, say }, job) => {
  const reading = choose.any(readingsOf(job));
  if (!reading) return;
  const value = valueFor(job, reading, choose.maybe(0.5), choose.below(100) / 100);
  const why = choose.maybe(0.7) ? { reason: 'once more' } : {};
  if (value !== undefined)
    say({
      verb: 'read',
      object: reading.reading,
      job: job.id,
      data: { value, ...why, ...(reading.times > 1 ? { n: 1 } : {}) },
    });
};

const lateTemperature: Oddity = ({ choose, say, build }) => {
  const when = build.ms - choose.below(40) * hour;
  say({ verb: 'temperature', object: choose.one(['12 °C', '19 °C', '25 °C', '31 °C']), when });
};

const ahead: Oddity = ({ say, build }, job, step) => {
  if (step) say({ verb: 'begin', object: step.step, job: job.id, when: build.ms + 3 * hour });
};

const pause: Oddity = ({ choose, say }, job) => {
  const verb = choose.one(['interrupt', 'resume', 'park', 'unpark', 'remark', 'advise'] as const);
  const parked = { ...because, 'waits-for': 'a part', state: 'clamped', where: 'on the bench' };
  if (verb === 'remark') say({ verb, object: 'it rains', job: job.id });
  else if (verb === 'advise') say({ verb, object: 'mind the edge', job: job.id, data: { from: 'marit' } });
  else say({ verb, job: job.id, data: verb === 'park' ? parked : {} });
};

/** The clock of the machine is set back; a person enters the true time later. */
const clock: Oddity = ({ say, build }, job) => {
  build.ms -= 3 * hour;
  say({ verb: 'remark', object: 'the clock was set', job: job.id });
  build.ms += 3 * hour;
};

const trueTime: Oddity = ({ say, build }) => {
  if (build.state().clockTrouble)
    say({ verb: 'clock', object: new Date(build.ms).toISOString().replace('.000Z', 'Z') });
};

/** A further cup, or one thrown away. */
const cup: Oddity = ({ choose, say }, job) => {
  const mix = choose.any(job.plan.steps.filter((one) => one.mix !== undefined));
  if (!mix) return;
  const discarded = choose.maybe(0.3) ? { discarded: true } : {};
  const weights = { resin: '100 g', hardener: choose.one(['44 g', '44.5 g', '50 g']) };
  say({ verb: 'mix', object: mix.step, job: job.id, data: { weights, with: 'bo', ...discarded } });
};

const oddLot: Oddity = (walker, job) => nameLot(walker, job.id, walker.choose.one(['adhesive', 'sealant']));

const withdraw: Oddity = ({ say }, job) => {
  say({ verb: 'withdraw', job: job.id, data: because });
};

const rework: Oddity = (walker, job) => {
  const target = lateOne(walker, finishedSteps(job));
  const data = {
    'as-what': walker.choose.weighted([
      [4, 'rework'],
      [1, 'scrap'],
    ]),
    reason: 'not good enough',
  };
  if (target && walker.choose.maybe(0.5)) walker.say({ verb: 'dispose', object: target.step, job: job.id, data });
  else dispose(walker, job);
};

const oddities: readonly (readonly [weight: number, oddity: Oddity])[] = [
  [1.2, undo],
  [4, correct],
  [2, done],
  [1, wrongPerson],
  [2, wrongLook],
  [2, wrongOrder],
  [2, later],
  [1, tool],
  [1.2, otherTool],
  [1, skip],
  [1.5, takeUp],
  [1, loose],
  [1.5, close],
  [1.5, depart],
  [0.8, move],
  [0.6, discard],
  [2, reread],
  [1.5, lateTemperature],
  [0.5, ahead],
  [1.5, pause],
  [0.15, clock],
  [1.5, trueTime],
  [0.7, cup],
  [1, oddLot],
  [0.15, withdraw],
  [1, rework],
];

/** Something else than the next thing, in a job that is open or over. */
export const doOddly = (walker: Walker, id: string): void => {
  const job = jobOf(walker.build.state(), id);
  if (job) walker.choose.weighted(oddities)(walker, job, currentStep(job));
};
