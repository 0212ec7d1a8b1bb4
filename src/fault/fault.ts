import type { RefusalCode } from './codes.ts';

/**
 * What went wrong, in the four ways that the program distinguishes.
 * - `wrong`: something checked (a procedure, a record) has a fault; exit 1.
 * - `usage`: dryfit was called wrongly (an unknown id, an unreadable value, a missing field); exit 2.
 * - `refused`: a rule forbids the next act; exit 3.
 * - `disk`: the state could not be read or written; exit 1.
 */
export type FaultKind = 'wrong' | 'usage' | 'refused' | 'disk';

export interface Fault {
  readonly kind: FaultKind;
  /** A stable name in kebab-case. Refusals use the closed list in `codes.ts`. */
  readonly code: string;
  /** One line that says what is wrong. It may contain text of people and files, so escape it before printing. */
  readonly what: string;
  /** Where the person must look: `file:line:column`, a step, a journal line. */
  readonly where?: string;
  /** What to do now, in the imperative. */
  readonly todo: string;
  /** What `what` counts, one item a line, where it is too much for one line. */
  readonly items?: readonly string[];
  /** Present on a refusal where the act may be written down all the same, with `done` and its reason, if it is done already. */
  readonly mayBeDone?: true;
}

export interface Refusal extends Fault {
  readonly kind: 'refused';
  readonly code: RefusalCode;
}

/** Either the value asked for, or the fault that prevents it. The program throws only for bugs and for the disk. */
export type Outcome<T, F extends Fault = Fault> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly fault: F };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });

export const err = <F extends Fault>(fault: F): { readonly ok: false; readonly fault: F } => ({ ok: false, fault });

/** Called wrongly; exit 2. */
export const usage = (code: string, what: string, todo: string, where?: string): Fault => ({
  kind: 'usage',
  code,
  what,
  todo,
  ...(where === undefined ? {} : { where }),
});

/** Something that was checked is wrong; exit 1. */
export const wrong = (code: string, what: string, todo: string, where?: string): Fault => ({
  kind: 'wrong',
  code,
  what,
  todo,
  ...(where === undefined ? {} : { where }),
});

/** A refusal with a code of its own, outside the closed list: something brought from elsewhere does not fit this build. */
export const refusalNamed = (code: string, what: string, todo: string, where?: string): Fault => ({
  kind: 'refused',
  code,
  what,
  todo,
  ...(where === undefined ? {} : { where }),
});

export const refusal = (code: RefusalCode, what: string, todo: string, where?: string): Refusal => ({
  kind: 'refused',
  code,
  what,
  todo,
  ...(where === undefined ? {} : { where }),
});

/** Thrown only where no value can be returned: the disk failed, or the state must not be written. */
export class FaultError extends Error {
  readonly fault: Fault;

  constructor(fault: Fault, options?: ErrorOptions) {
    super(fault.what, options);
    this.name = 'FaultError';
    this.fault = fault;
  }
}

/** By its name, because each part of the built program has a class of its own. */
export const isFaultError = (error: unknown): error is FaultError =>
  error instanceof Error && error.name === 'FaultError' && 'fault' in error;

const exits: Readonly<Record<FaultKind, 1 | 2 | 3>> = { wrong: 1, disk: 1, usage: 2, refused: 3 };

/** The exit code of the command line for a fault. */
export const exitOf = (fault: Fault): 1 | 2 | 3 => exits[fault.kind];

/**
 * The same outcome, with every fault made a usage fault (exit 2). For something that the person named: whatever failed underneath, the name
 * was wrong.
 */
export const asUsage = <T>(outcome: Outcome<T>): Outcome<T> =>
  outcome.ok ? outcome : err({ ...outcome.fault, kind: 'usage' });
