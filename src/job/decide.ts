import { err, refusal, type Outcome } from '../fault/fault.ts';
import type { Surroundings } from './surroundings.ts';
import { askOf, settle, type Ask } from './decide/ask.ts';
import { decideBegin, decideComplete, decideDispose, decideFinish, decideSkip, decideUndo } from './decide/flow.ts';
import { decideAnswer, decideInvite, decideRefuse, decideReinspect, decideRelease } from './decide/holding.ts';
import {
  decideClose,
  decideDepart,
  decideLoose,
  decideLot,
  decidePhoto,
  decideSaid,
  decideShop,
  decideUse,
} from './decide/keeping.ts';
import { decideCorrect, decideRead } from './decide/reading.ts';
import { decideMove, decideResolve } from './decide/revising.ts';
import { decideBreak, decideDiscard, decideMix, decideTighten } from './decide/working.ts';
import type { Command, Taken } from './entry.ts';
import { givenData, shapeData } from './shape.ts';
import type { JobState } from './state.ts';
import type { Verb } from './verbs.ts';
import { isClosed } from './where.ts';

type Decider = (ask: Ask) => Outcome<Taken>;

const keep: Decider = (ask) => settle(ask, undefined, []);

const deciders: Readonly<Partial<Record<Verb, Decider>>> = {
  begin: decideBegin,
  finish: decideFinish,
  complete: decideComplete,
  interrupt: keep,
  resume: keep,
  read: decideRead,
  correct: decideCorrect,
  tighten: decideTighten,
  mix: decideMix,
  discard: decideDiscard,
  break: decideBreak,
  lot: decideLot,
  use: decideUse,
  shop: decideShop,
  photo: decidePhoto,
  release: decideRelease,
  refuse: decideRefuse,
  answer: decideAnswer,
  reinspect: decideReinspect,
  invite: decideInvite,
  dispose: decideDispose,
  depart: decideDepart,
  skip: decideSkip,
  undo: decideUndo,
  loose: decideLoose,
  close: decideClose,
  park: keep,
  unpark: keep,
  remark: decideSaid,
  advise: decideSaid,
  move: decideMove,
  resolve: decideResolve,
};

/** What a complete job no longer takes; the rest (corrections, samples, remarks, undoing …) changes its story and is written down. */
const walking: readonly Verb[] = [
  'begin',
  'finish',
  'complete',
  'read',
  'tighten',
  'mix',
  'release',
  'refuse',
  'reinspect',
  'skip',
  'park',
  'unpark',
];

/**
 * Section 6 of the design for one job: the entry to write, or why not.
 * Faults: kind `refused` with one of the closed codes; kind `usage` for an unknown id, an unreadable value, a missing field.
 */
export const decideJob = (job: JobState, command: Command, around: Surroundings): Outcome<Taken> => {
  const decider = deciders[command.verb];
  if (!decider) throw new RangeError(`not a job's verb: ${command.verb}`);
  const data = shapeData(command.verb, command.data);
  if (!data.ok) return data;
  if (isClosed(job) && walking.includes(command.verb))
    return err(refusal('job-closed', `${job.id} is complete`, 'correct, undo or remark; or start the procedure again'));
  const ask = askOf(job, command, around, givenData(command.verb, data.value));
  return ask.ok ? decider(ask.value) : ask;
};
