import { type Message, messageAt } from '../message.ts';
import { makeSource, messageFor } from './source.ts';

/** Bytes, enough for some 1,000 steps with all that belongs to them. A larger file is refused before it is read. */
export const largestFile = 1024 * 1024;

export type Decoded = { readonly text: string } | { readonly message: Message };

const first = { line: 1, column: 1 };

export const tooLarge = (file: string, size: number): Message =>
  messageAt(
    file,
    first,
    'too-large',
    `the file has ${(size / 1024 / 1024).toFixed(1)} MB; more than ${largestFile / 1024 / 1024} MB is not read`,
    'split it into several procedures',
  );

/** @param size of the files before it, in bytes */
export const folderTooLarge = (file: string, size: number): Message =>
  messageAt(
    file,
    first,
    'too-large',
    `the files before it have ${(size / 1024 / 1024).toFixed(1)} MB together, and no more is read of one folder`,
    'put some of them into a folder of their own',
  );

/** Whether the bytes look like UTF-16: a NUL in every second byte, or UTF-16's own mark. */
const isUtf16 = (bytes: Uint8Array): boolean => {
  const [a, b, c, d] = bytes;
  const marked = (a === 0xff && b === 0xfe) || (a === 0xfe && b === 0xff);
  return marked || (bytes.length >= 4 && ((a === 0 && c === 0) || (b === 0 && d === 0)));
};

const decodes = (bytes: Uint8Array): boolean => {
  try {
    // With `stream`, a character that the end of the piece cuts in two is not an error.
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
};

/** How many bytes come before the first that is not UTF-8. */
const soundBytes = (bytes: Uint8Array): number => {
  let low = 0;
  let high = bytes.length;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (decodes(bytes.subarray(0, middle))) low = middle;
    else high = middle - 1;
  }
  return low;
};

const notUtf8 = (file: string, bytes: Uint8Array): Message => {
  const before = new TextDecoder('utf-8').decode(bytes.subarray(0, soundBytes(bytes)), { stream: true });
  const what = 'from here on the file is not UTF-8 text';
  return messageFor(makeSource(file, before), before.length, 'not-utf8', what, 'save it as UTF-8');
};

/** Strict UTF-8. A byte order mark stays in the text, which gives it a message and a place. */
export const decodeBytes = (bytes: Uint8Array, file: string): Decoded => {
  if (bytes.length > largestFile) return { message: tooLarge(file, bytes.length) };
  if (isUtf16(bytes))
    return { message: messageAt(file, first, 'not-utf8', 'the file is UTF-16 text', 'save it as UTF-8') };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes) };
  } catch {
    return { message: notUtf8(file, bytes) };
  }
};
