import type { OwnKey } from '../keys.ts';
import { nothing, type Session, type Turn } from './state.ts';

/** The two presses of an own key are at least so far apart, or a finger bounced, and at most so far, or the first is forgotten. In ms. */
const soonest = 400;
const latest = 5000;

export const unarmed = (session: Session): Session => {
  if (!session.armed) return session;
  const { armed: _armed, ...rest } = session;
  return rest;
};

/** The same, once the first press is too long ago. */
export const disarmedLate = (session: Session, ms: number): Session =>
  session.armed && ms - session.armed.ms > latest ? unarmed(session) : session;

/**
 * A permanent or critical step goes by its own key, pressed twice with nothing between. The first press only says what the second one does.
 * A key that is held down repeats too fast ever to be the second.
 */
export const pressTwice = (session: Session, own: OwnKey, ms: number, act: (session: Session) => Turn): Turn => {
  const since = session.armed?.own === own ? ms - session.armed.ms : Infinity;
  return since >= soonest && since <= latest ? act(unarmed(session)) : nothing({ ...session, armed: { own, ms } });
};
