import type { Act, Secrets } from '../ports.ts';
import { nothing, push, withoutAnswer, type Session, type Turn } from './state.ts';

/** A second committing key within this time of a commit is a bounce of the finger, and is ignored. In milliseconds. */
const bounceMs = 400;

export const bounces = (session: Session, ms: number): boolean => ms - session.committed < bounceMs;

/** Whether enter on an empty field comes so soon after an answer that it can only be a bounce. `ms` is of a clock that never goes back. */
export const bouncesOn = (session: Session, ms: number): boolean => ms - session.advanced < bounceMs;

/** Hands an act out. Where the key bounced, or an earlier act has no answer yet, nothing changes and what is typed stays. */
export const commit = (session: Session, act: Act, ms: number, secrets: Secrets = {}): Turn => {
  if (bounces(session, ms) || session.waiting) return nothing(session);
  // Nobody is signed on, so nothing can be signed: ask who it is.
  if (act.by === '') return nothing(push(session, { page: 'menu', group: 'people', selected: 0, scroll: 0 }));
  return {
    session: { ...withoutAnswer(session), committed: ms, waiting: act },
    effects: [{ kind: 'submit', act, secrets }],
  };
};
