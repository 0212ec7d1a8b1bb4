import type { JobVerb } from '../verbs.ts';
import type { Act, MoveAct } from './act.ts';
import { adviseAct } from './advise.ts';
import { answerAct } from './answer.ts';
import { beginAct } from './begin.ts';
import { breakAct } from './break.ts';
import { closeAct } from './close.ts';
import { completeAct } from './complete.ts';
import { correctActOf } from './correct.ts';
import { departAct } from './depart.ts';
import { discardAct } from './discard.ts';
import { disposeAct } from './dispose.ts';
import { finishAct } from './finish.ts';
import { interruptAct } from './interrupt.ts';
import { inviteAct } from './invite.ts';
import { looseAct } from './loose.ts';
import { lotAct } from './lot.ts';
import { mix } from './mix.ts';
import { moveAct } from './move.ts';
import { partAct } from './part.ts';
import { parkAct } from './park.ts';
import { photoAct } from './photo.ts';
import { read } from './read.ts';
import { refuseAct } from './refuse.ts';
import { reinspectAct } from './reinspect.ts';
import { releaseAct } from './release.ts';
import { remarkAct } from './remark.ts';
import { resolveAct } from './resolve.ts';
import { resumeAct } from './resume.ts';
import { shopAct } from './shop.ts';
import { skipAct } from './skip.ts';
import { tighten } from './tighten.ts';
import { undoAct } from './undo.ts';
import { unparkAct } from './unpark.ts';
import { useAct } from './use.ts';
import { withdrawAct } from './withdraw.ts';

type Acts = { readonly [V in JobVerb]: V extends 'move' ? MoveAct : Act<V> };

const acts: Omit<Acts, 'correct'> = {
  begin: beginAct,
  finish: finishAct,
  complete: completeAct,
  interrupt: interruptAct,
  resume: resumeAct,
  read,
  tighten,
  mix,
  discard: discardAct,
  break: breakAct,
  lot: lotAct,
  part: partAct,
  use: useAct,
  shop: shopAct,
  photo: photoAct,
  release: releaseAct,
  refuse: refuseAct,
  answer: answerAct,
  reinspect: reinspectAct,
  invite: inviteAct,
  dispose: disposeAct,
  depart: departAct,
  skip: skipAct,
  undo: undoAct,
  loose: looseAct,
  close: closeAct,
  park: parkAct,
  unpark: unparkAct,
  withdraw: withdrawAct,
  remark: remarkAct,
  advise: adviseAct,
  move: moveAct,
  resolve: resolveAct,
};

/** Every verb of a job. The program does not compile while a verb has no act, or an act does not say how its entries are corrected. */
export const jobActs: Acts = { ...acts, correct: correctActOf(acts) };
