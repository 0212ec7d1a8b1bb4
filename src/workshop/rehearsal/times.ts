import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { parseDuration, parseInstant, printInstant, type Instant } from '../../quantity/time.ts';

/** A time as a script writes it: an instant, or `+20h`, `+10min`, `+2d` after another one, or `-2h` before it. A day is 24 hours. */
export const timeFrom = (text: string, from: Instant | undefined): Outcome<Instant> => {
  const sign = text[0];
  if (sign !== '+' && sign !== '-') return parseInstant(text);
  if (from === undefined)
    return err(usage('instant-unreadable', `${text} stands after no time yet`, 'begin with a time and its offset'));
  const span = parseDuration(text.slice(1));
  if (!span.ok) return span;
  const ms = from.ms + (sign === '+' ? span.value.ms : -span.value.ms);
  return ok({ text: printInstant(ms, from.offset), ms, offset: from.offset });
};
