import sliceAnsi from 'slice-ansi';
import stringWidth from './string-width.ts';

/** Replaces slice-ansi: the columns from `start` to before `end`. Ink cuts each line of a clipped box, and nearly all of them fit. */
export default (text: string, start: number, end?: number): string =>
  start === 0 && end !== undefined && end >= stringWidth(text) ? text : sliceAnsi(text, start, end);
