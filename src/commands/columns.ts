import { padTo, wrap } from '../report/wrap.ts';
import type { Call } from './spec.ts';

/** Columns of a line: the terminal's width; a pipe or a file takes each line whole. */
export const lineWidth = (call: Call): number => call.host.streams.stdout.columns ?? Number.POSITIVE_INFINITY;

/** `source   …`: a label in the first `indent` columns, its text beside it and going on below itself. */
export const labelledLines = (label: string, text: string, width: number, indent: number): readonly string[] =>
  wrap(text, Math.max(20, width - indent)).map((line, index) => padTo(index === 0 ? label : '', indent) + line);
