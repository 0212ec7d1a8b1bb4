import { EventEmitter } from 'node:events';
import type { TerminalSize } from './painter.ts';

/** What the drawing library is given in place of the real streams, and how it must be told to use them. */
export interface RenderOptions {
  readonly stdout: NodeJS.WriteStream;
  readonly stdin: NodeJS.ReadStream;
  /** Hands over every frame, whole and at once; the painter does the rest. */
  readonly debug: true;
  readonly patchConsole: false;
  readonly exitOnCtrlC: false;
}

/** A stream that only hands frames on. It says that it is no terminal, so that nobody writes anything but frames to it. */
const frameStream = (size: () => TerminalSize, paint: (frame: string) => void): NodeJS.WriteStream => {
  const stream = Object.assign(new EventEmitter(), { isTTY: false, write: (frame: string) => (paint(frame), true) });
  Object.defineProperties(stream, { columns: { get: () => size().columns }, rows: { get: () => size().rows } });
  return stream as unknown as NodeJS.WriteStream; // the few members that are used are there
};

/** An input on which nothing ever comes: keys go to `onKey`. */
const silentStream = (): NodeJS.ReadStream => {
  const silent = {
    isTTY: true,
    setRawMode: () => {},
    setEncoding: () => {},
    ref: () => {},
    unref: () => {},
    read: () => null,
  };
  return Object.assign(new EventEmitter(), silent) as unknown as NodeJS.ReadStream; // as above
};

/** What to hand to the drawing library, so that it draws into `paint` and hears nothing. */
export const renderOptions = (size: () => TerminalSize, paint: (frame: string) => void): RenderOptions => ({
  stdout: frameStream(size, paint),
  stdin: silentStream(),
  debug: true,
  patchConsole: false,
  exitOnCtrlC: false,
});
