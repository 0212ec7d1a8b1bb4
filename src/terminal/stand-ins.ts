import { EventEmitter } from 'node:events';
import type { TerminalSize } from './painter.ts';

/** What the drawing library gets in place of the real streams, and the options that it must have. */
export interface RenderOptions {
  readonly stdout: NodeJS.WriteStream;
  readonly stdin: NodeJS.ReadStream;
  /** Passes on every frame, whole and at once; the painter does the rest. */
  readonly debug: true;
  readonly patchConsole: false;
  readonly exitOnCtrlC: false;
}

/** A stream that only passes frames on. It claims not to be a terminal, so that the library writes nothing but frames to it. */
const frameStream = (size: () => TerminalSize, paint: (frame: string) => void): NodeJS.WriteStream => {
  const stream = Object.assign(new EventEmitter(), { isTTY: false, write: (frame: string) => (paint(frame), true) });
  Object.defineProperties(stream, { columns: { get: () => size().columns }, rows: { get: () => size().rows } });
  return stream as unknown as NodeJS.WriteStream; // it has the few members that are used
};

/** An input on which nothing ever arrives: keys go to `onKey`. */
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

/** What the drawing library must be given so that it draws into `paint` and reads no keys. */
export const renderOptions = (size: () => TerminalSize, paint: (frame: string) => void): RenderOptions => ({
  stdout: frameStream(size, paint),
  stdin: silentStream(),
  debug: true,
  patchConsole: false,
  exitOnCtrlC: false,
});
