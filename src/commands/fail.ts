import { exitOf, usage, type Fault } from '../fault/fault.ts';
import type { Printer } from './print.ts';
import type { Call } from './spec.ts';

/** Reports a fault once, on stderr, and gives the exit code. */
export const failWith = (print: Printer, fault: Fault): number => {
  print.fault(fault);
  return exitOf(fault);
};

export const failed = ({ print }: Call, fault: Fault): number => failWith(print, fault);

/** The fault where a command that takes no words was given some. */
export const wordsGiven = (call: Call, command: string, todo = `write: dryfit ${command}`): Fault | undefined =>
  call.words.length === 0 ? undefined : usage('word-extra', `${command} takes no words`, todo);

/** Procedures beside the one that is meant, and why each could not be read. */
export const notePassedOver = ({ print }: Call, reasons: readonly string[]): void => {
  for (const reason of reasons) print.note(`note: passed over: ${reason}`);
};
