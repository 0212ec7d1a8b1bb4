import type { Act, Secrets } from '../ports.ts';
import { nothing, push, untold, type Session, type Turn } from './state.ts';

/** A second committing key within this time of a commit is a bounce of the finger, and is ignored. Milliseconds. */
const bounceMs = 400;

export const bounces = (session: Session, ms: number): boolean => ms - session.committed < bounceMs;

/** True where enter on an empty field, right after an answer was taken, can only be a bounce. */
export const bouncesOn = (session: Session, ms: number): boolean => ms - session.advanced < bounceMs;

/** Hands an act out, unless the key bounced or an answer is still awaited: then nothing changes, and what is typed stays. */
export const commit = (session: Session, act: Act, ms: number, secrets: Secrets = {}): Turn => {
  if (bounces(session, ms) || session.waiting) return nothing(session);
  // Somebody must be at the bench before anything can be signed.
  if (act.by === '') return nothing(push(session, { page: 'menu', group: 'people', selected: 0, scroll: 0 }));
  return {
    session: { ...untold(session), committed: ms, waiting: act },
    effects: [{ kind: 'submit', act, secrets }],
  };
};
