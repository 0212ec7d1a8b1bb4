import { escapeText } from '../fault/escape.ts';
import type { Fault } from '../fault/fault.ts';
import type { World } from './world.ts';

/** Where all that a command says goes through: no control character of a file or a person passes it. */
export interface Printer {
  /** Lines of text on stdout. */
  lines(...lines: readonly string[]): void;
  /** Data on stdout, one document. */
  json(value: unknown): void;
  /** Data on stdout, one line of a stream. */
  jsonLine(value: unknown): void;
  /** Text that goes to a file or another program as it is (HTML, CSV). */
  raw(text: string): void;
  /** A line on stderr that is no error. */
  note(line: string): void;
  fault(fault: Fault): void;
}

/** `where: error code: what; what to do`, the form in which `check` speaks too. */
export const faultLine = (fault: Fault): string => {
  const level = fault.kind === 'refused' ? 'refused' : 'error';
  return `${fault.where === undefined ? 'dryfit' : fault.where}: ${level} ${fault.code}: ${fault.what}; ${fault.todo}`;
};

// JSON of our own may hold what steers a terminal (U+0080 to U+009F, bidi marks), which JSON itself leaves as it is.
// eslint-disable-next-line no-control-regex -- finding control characters is what it is for
const steering = /[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/g;

const jsonText = (value: unknown, indent?: number): string =>
  JSON.stringify(value, undefined, indent).replace(
    steering,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

export const makePrinter = ({ streams }: World, asJson: boolean): Printer => {
  const { stdout, stderr } = streams;
  const lines = (...texts: readonly string[]): void => {
    stdout.write(`${texts.flatMap((text) => text.split('\n').map(escapeText)).join('\n')}\n`);
  };
  return {
    lines,
    json: (value) => void stdout.write(`${jsonText(value, 2)}\n`),
    jsonLine: (value) => void stdout.write(`${jsonText(value)}\n`),
    raw: (text) => void stdout.write(text),
    note: (line) => void stderr.write(`${escapeText(line)}\n`),
    fault: (fault) => {
      stderr.write(`${escapeText(faultLine(fault))}\n`);
      if (asJson) stdout.write(`${jsonText({ fault }, 2)}\n`);
    },
  };
};
