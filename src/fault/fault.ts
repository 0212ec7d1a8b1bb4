import type { RefusalCode } from './codes.ts';

/**
 * What went wrong, in the four ways the program tells apart.
 * - `wrong`: something that was looked at (a procedure, a record) has a fault; exit 1.
 * - `usage`: dryfit was called wrongly (an unknown id, an unreadable value, a missing field); exit 2.
 * - `refused`: a rule forbids the next thing; exit 3.
 * - `disk`: the state could not be read or written; exit 1.
 */
export type FaultKind = 'wrong' | 'usage' | 'refused' | 'disk';

export interface Fault {
  readonly kind: FaultKind;
  /** Stable, kebab-case. Refusals use the closed list in `codes.ts`. */
  readonly code: string;
  /** One line: what is the matter. May hold text from people and files; escape it where it is printed. */
  readonly what: string;
  /** `file:line:column`, a step, a journal line: wherever the person must look. */
  readonly where?: string;
  /** What to do now, in the imperative. */
  readonly todo: string;
}

export interface Refusal extends Fault {
  readonly kind: 'refused';
  readonly code: RefusalCode;
}

/** Either the value asked for, or the fault that stands in its way. A throw is kept for bugs and the disk. */
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

/** Something that was looked at is wrong; exit 1. */
export const wrong = (code: string, what: string, todo: string, where?: string): Fault => ({
  kind: 'wrong',
  code,
  what,
  todo,
  ...(where === undefined ? {} : { where }),
});

/** Refused by a name of its own, of those that stand outside the closed list: what is brought from elsewhere does not fit here. */
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

/** Thrown only where no value can be returned: the disk, or a state that must not be written on. */
export class FaultError extends Error {
  readonly fault: Fault;

  constructor(fault: Fault, options?: ErrorOptions) {
    super(fault.what, options);
    this.name = 'FaultError';
    this.fault = fault;
  }
}

const exits: Readonly<Record<FaultKind, 1 | 2 | 3>> = { wrong: 1, disk: 1, usage: 2, refused: 3 };

/** The exit code of the command line for a fault. */
export const exitOf = (fault: Fault): 1 | 2 | 3 => exits[fault.kind];

/** The outcome, where a fault in it comes of what the person named: the command was called wrongly (exit 2), whatever failed beneath. */
export const asUsage = <T>(outcome: Outcome<T>): Outcome<T> =>
  outcome.ok ? outcome : err({ ...outcome.fault, kind: 'usage' });
