import { escapeText, jsonText } from '../fault/escape.ts';
import type { Fault } from '../fault/fault.ts';
import type { TonedLine, Toned } from '../report/changes.ts';
import type { Host } from './host.ts';

/** Everything that a command prints goes through here, so that no control character of a file or a person reaches the terminal. */
export interface Printer {
  /** Lines of text on stdout. A line feed within a line is printed as `\\n`, so that nobody's text looks like a line of dryfit's own. */
  lines(...lines: readonly string[]): void;
  /** Lines whose pieces are coloured where stdout is a terminal that takes colour; the words alone say the same. */
  painted(...lines: readonly TonedLine[]): void;
  /** Data on stdout, one document. */
  json(value: unknown): void;
  /** Data on stdout, one line of a stream. */
  jsonLine(value: unknown): void;
  /** Text that goes to a file or another program as it is (HTML, CSV), also as UTF-8. */
  raw(...texts: readonly (string | Uint8Array)[]): void;
  /** A line on stderr that is not an error. */
  note(line: string): void;
  fault(fault: Fault): void;
}

/** `where: error code: what; what to do`, as `check` prints it too. */
export const faultLine = (fault: Fault): string => {
  const level = fault.kind === 'refused' ? 'refused' : 'error';
  return `${fault.where === undefined ? 'dryfit' : fault.where}: ${level} ${fault.code}: ${fault.what}; ${fault.todo}`;
};

/** The fault on one line, and beneath it what it counts, one item a line. */
const faultLines = (fault: Fault): readonly string[] => [
  faultLine(fault),
  ...(fault.items ?? []).map((item) => `  ${item}`),
  ...(fault.mayBeDone === true ? ["  if it is done already, enter it with its reason: done='…'"] : []),
];

/** Select graphic rendition (ECMA-48, 8.3.117). These are the terminal's own colours, so that they fit its background. */
const paints: Readonly<Record<Toned['tone'], string>> = {
  plain: '',
  quiet: '2',
  strong: '1',
  gone: '9;35',
  come: '1;34',
  order: '34',
  person: '1;33',
  outside: '1;35',
};

const takesColour = ({ streams, env }: Host): boolean =>
  streams.stdout.isTTY === true && !env.variables['NO_COLOR'] && env.variables['TERM'] !== 'dumb';

const paintedSpan = ({ text, tone }: Toned, colours: boolean): string => {
  const plain = escapeText(text.replaceAll(/\s*\n\s*/g, ' '));
  return colours && paints[tone] !== '' ? `\u001b[${paints[tone]}m${plain}\u001b[0m` : plain;
};

export const makePrinter = (host: Host, asJson: boolean, isPlain = false): Printer => {
  const { stdout, stderr } = host.streams;
  const lines = (...texts: readonly string[]): void => {
    stdout.write(`${texts.map(escapeText).join('\n')}\n`);
  };
  return {
    lines,
    painted: (...rows) => {
      const colours = !isPlain && takesColour(host);
      stdout.write(
        `${rows
          .map((row) =>
            row
              .map((one) => paintedSpan(one, colours))
              .join('')
              .trimEnd(),
          )
          .join('\n')}\n`,
      );
    },
    json: (value) => void stdout.write(`${jsonText(value, 2)}\n`),
    jsonLine: (value) => void stdout.write(`${jsonText(value)}\n`),
    raw: (...texts) => {
      for (const text of texts) stdout.write(text);
    },
    note: (line) => void stderr.write(`${escapeText(line)}\n`),
    fault: (fault) => {
      for (const line of faultLines(fault)) stderr.write(`${escapeText(line)}\n`);
      if (asJson) stdout.write(`${jsonText({ fault }, 2)}\n`);
    },
  };
};
