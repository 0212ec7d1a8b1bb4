import { exitOf, type Fault } from '../fault/fault.ts';
import type { Printer } from './print.ts';
import type { Call } from './spec.ts';

/** A fault is told once, on stderr, and gives the exit code. */
export const failWith = (print: Printer, fault: Fault): number => {
  print.fault(fault);
  return exitOf(fault);
};

export const failed = ({ print }: Call, fault: Fault): number => failWith(print, fault);
