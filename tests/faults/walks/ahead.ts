import { aroundOf } from '../../../src/aircraft/surroundings.ts';
import { jobOf } from '../../../src/aircraft/state.ts';
import type { Fault } from '../../../src/fault/fault.ts';
import { refusedAhead } from '../../../src/job/foresee.ts';
import { isJobVerb, verbSpec, type Verb } from '../../../src/job/verbs.ts';
import type { Saying, WalkBuild } from './walk-build.ts';

/*
 * Refused before the hand moves: what is refused ahead, with the answers still open, is refused when they are given; and what is free of
 * refusals ahead is refused afterwards only for one of those answers.
 */

interface Late {
  /** The fields that a person answers last, with their hands on the work. */
  readonly fields: readonly string[];
  /** The refusals that these fields alone can bring about. */
  readonly codes: readonly string[];
}

const late: Readonly<Partial<Record<Verb, Late>>> = {
  begin: { fields: [], codes: [] },
  finish: { fields: ['reason'], codes: [] },
  complete: { fields: [], codes: [] },
  read: { fields: ['value', 'reason'], codes: ['reason-missing'] },
  tighten: { fields: ['torque', 'drag', 'finger-tight', 'past', 'reason'], codes: ['reason-missing'] },
  // Its temperature is known before the cup, and may be warmer than what was last entered of the shop.
  mix: { fields: ['weights', 'sample'], codes: ['batch-size'] },
  break: { fields: ['result', 'remark'], codes: [] },
  photo: { fields: ['file'], codes: [] },
  release: { fields: ['remark', 'shown', 'not-judged', 'reason'], codes: ['reason-missing'] },
  refuse: { fields: ['findings'], codes: [] },
  reinspect: { fields: ['remark'], codes: [] },
};

/** What is refused ahead of an act, or `undefined` for a verb that is not looked ahead at. */
export const aheadOf = (build: WalkBuild, saying: Saying): readonly string[] | undefined => {
  const { verb, object, data = {}, by = 'ines' } = saying;
  const job = saying.job === undefined ? undefined : jobOf(build.state(), saying.job);
  const answers = late[verb];
  if (!job || !answers || !isJobVerb(verb) || 'done' in data || saying.when !== undefined) return undefined;
  const name = verbSpec(verb).object?.name;
  const known = { ...(name === undefined || object === undefined ? {} : { [name]: object }), ...data };
  const open = new Set(answers.fields.filter((field) => verb !== 'tighten' || field === 'reason' || field in data));
  const fixed = Object.fromEntries(Object.entries(known).filter(([field]) => !open.has(field)));
  const around = aroundOf(build.state(), job, build.ms);
  const moment = { around, ms: build.ms, offset: 60, by, with: [] };
  return refusedAhead(job, { verb, data: fixed, open }, moment).map(({ code, what }) => `${code}: ${what}`);
};

/** Where the answers are given and the law does not hold; empty where it does. @param fault why the act was not taken, where it was not. */
export const aheadLaw = ({ verb }: Saying, ahead: readonly string[], fault: Fault | undefined): readonly string[] => {
  if (ahead.length > 0 && fault === undefined) return [`${verb} is refused ahead (${ahead.join('; ')}), and is taken`];
  if (ahead.length > 0 || fault?.kind !== 'refused' || late[verb]?.codes.includes(fault.code) === true) return [];
  return [`${verb} is free of refusals ahead, and is refused: ${fault.code}: ${fault.what}`];
};
