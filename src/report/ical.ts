import { escapeText } from '../fault/escape.ts';
import { printInstant } from '../quantity/time.ts';

/** One property of a component: its name with any parameters, and its value as it is written in the file. */
export type IcalProperty = readonly [name: string, value: string];

export interface IcalComponent {
  readonly name: 'VCALENDAR' | 'VEVENT' | 'VJOURNAL' | 'VALARM';
  readonly properties: readonly IcalProperty[];
  readonly components?: readonly IcalComponent[];
}

/** A value of type TEXT (RFC 5545, 3.3.11). Characters that steer a terminal are spelled out, as in every output. */
export const icalText = (text: string): string =>
  text
    .split(/\r\n|\n|\r/)
    .map((line) => escapeText(line).replace(/[\\;,]/g, (character) => `\\${character}`))
    .join('\\n');

/** `ms` since 1970 as a DATE-TIME in UTC (RFC 5545, 3.3.5), in whole seconds: rounded up, so that no alarm comes too early. */
export const icalInstant = (ms: number): string => printInstant(Math.ceil(ms / 1000) * 1000, 0).replace(/[-:]/g, '');

/** Octets of a content line without its line break (RFC 5545, 3.1). */
const longestLine = 75;

/** Octets in UTF-8. */
const octetsOf = (character: string): number => {
  const code = character.codePointAt(0) ?? 0;
  return code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x1_0000 ? 3 : 4;
};

/** A content line folded to at most 75 octets a line, never inside a character; each line ends in CRLF. */
export const foldLine = (line: string): string => {
  let folded = '';
  let octets = 0;
  for (const character of line) {
    const more = octetsOf(character);
    if (octets + more > longestLine) {
      folded += '\r\n ';
      octets = 1;
    }
    folded += character;
    octets += more;
  }
  return `${folded}\r\n`;
};

/** A component and all that it holds, as iCalendar (RFC 5545) text. */
export const printIcal = ({ name, properties, components = [] }: IcalComponent): string =>
  [
    foldLine(`BEGIN:${name}`),
    ...properties.map(([property, value]) => foldLine(`${property}:${value}`)),
    ...components.map(printIcal),
    foldLine(`END:${name}`),
  ].join('');
