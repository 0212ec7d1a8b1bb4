import type stringWidth from 'string-width';
import type { Options } from 'string-width';
import stripAnsi from 'strip-ansi';
import { narrowText } from './plain.ts';

/** Loaded by the first text that is not plain: its patterns take tens of milliseconds to compile. */
const real = (): typeof stringWidth => (require('string-width') as { default: typeof stringWidth }).default;

/** Replaces string-width: the columns that a text takes. */
export default (text: string, options: Options = {}): number => {
  const { ambiguousIsNarrow = true, countAnsiEscapeCodes = false } = options;
  const visible = !countAnsiEscapeCodes && text.includes('\u001b') ? stripAnsi(text) : text;
  return ambiguousIsNarrow && narrowText.test(visible) ? visible.length : real()(text, options);
};
