import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import type { Call } from './spec.ts';

/** The format asked for (`--format`, or `--json`), else the first of those that there are. `what` has them: `a record`. */
export const formatOf = <Format extends string>(
  call: Call,
  what: string,
  formats: readonly Format[],
): Outcome<Format> => {
  const typed = call.text('format') ?? (call.flag('json') ? 'json' : formats[0]);
  const format = formats.find((known) => known === typed);
  return format === undefined
    ? err(usage('format-unknown', `${what} has no such format`, `use one of: ${formats.join(', ')}`))
    : ok(format);
};
