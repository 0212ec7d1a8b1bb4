import type { Call } from './spec.ts';

/** The form asked for (`--format`, or `--json`), else the first of those that there are; nothing where there is no such form. */
export const formatOf = <Format extends string>(call: Call, formats: readonly Format[]): Format | undefined => {
  const typed = call.text('format') ?? (call.flag('json') ? 'json' : formats[0]);
  return formats.find((known) => known === typed);
};
