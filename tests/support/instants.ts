import { parseDuration, parseInstant, printInstant } from '../../src/quantity/time.ts';

/** An instant plus a duration such as `20 h`, `90s` or `-90s`. */
export const addMs = (instant: string, duration: string): string => {
  const from = parseInstant(instant);
  const by = parseDuration(duration.replace(/^-?(\d+)([a-z])/, '$1 $2'));
  if (!from.ok || !by.ok) throw new Error(`cannot add ${duration} to ${instant}`);
  return printInstant(from.value.ms + (duration.startsWith('-') ? -by.value.ms : by.value.ms), from.value.offset);
};
