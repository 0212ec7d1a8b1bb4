import type { JobVerb } from '../verbs.ts';
import type { Act, MoveAct } from './act.ts';
import { advise } from './advise.ts';
import { answer } from './answer.ts';
import { begin } from './begin.ts';
import { breakSample } from './break.ts';
import { close } from './close.ts';
import { complete } from './complete.ts';
import { correct } from './correct.ts';
import { depart } from './depart.ts';
import { discard } from './discard.ts';
import { dispose } from './dispose.ts';
import { finish } from './finish.ts';
import { interrupt } from './interrupt.ts';
import { invite } from './invite.ts';
import { loose } from './loose.ts';
import { lot } from './lot.ts';
import { mix } from './mix.ts';
import { move } from './move.ts';
import { park } from './park.ts';
import { photo } from './photo.ts';
import { read } from './read.ts';
import { refuse } from './refuse.ts';
import { reinspect } from './reinspect.ts';
import { release } from './release.ts';
import { remark } from './remark.ts';
import { resolve } from './resolve.ts';
import { resume } from './resume.ts';
import { shop } from './shop.ts';
import { skip } from './skip.ts';
import { tighten } from './tighten.ts';
import { undo } from './undo.ts';
import { unpark } from './unpark.ts';
import { use } from './use.ts';

/** Every verb of a job. A verb without an act does not compile. */
export const jobActs: { readonly [V in JobVerb]: V extends 'move' ? MoveAct : Act<V> } = {
  begin,
  finish,
  complete,
  interrupt,
  resume,
  read,
  correct,
  tighten,
  mix,
  discard,
  break: breakSample,
  lot,
  use,
  shop,
  photo,
  release,
  refuse,
  answer,
  reinspect,
  invite,
  dispose,
  depart,
  skip,
  undo,
  loose,
  close,
  park,
  unpark,
  remark,
  advise,
  move,
  resolve,
};
