/** C0, DEL, C1, and the characters that reorder or hide text. No text of a file or a person may steer the terminal. */
// eslint-disable-next-line no-control-regex -- finding control characters is this file's purpose
const steering =
  /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]|\p{Cs}/gu;

const spell = (character: string): string =>
  character === '\n' ? '\\n' : `\\u{${(character.codePointAt(0) ?? 0).toString(16)}}`;

// JSON leaves some characters as they are that steer a terminal (U+0080 to U+009F, bidi marks): they are escaped here.
// eslint-disable-next-line no-control-regex -- finding control characters is what it is for
const steeringInJson = /[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/g;

/** A value as JSON that may be printed on a terminal. */
export const jsonText = (value: unknown, indent?: number): string =>
  JSON.stringify(value, undefined, indent).replace(
    steeringInJson,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

/** Text from a file or a person, fit for one line of a terminal: control and bidi characters shown as `\u{1b}`. */
export const escapeText = (text: string): string => text.replace(steering, spell);
