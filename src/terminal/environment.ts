export type Environment = Readonly<Record<string, string | undefined>>;

interface MayBeTerminal {
  readonly isTTY?: boolean | undefined;
}

/** Whether a full screen can be drawn and keys can be read one by one. */
export const isInteractive = (stdin: MayBeTerminal, stdout: MayBeTerminal, env: Environment): boolean =>
  stdin.isTTY === true && stdout.isTTY === true && env['TERM'] !== 'dumb';

/**
 * The value that FORCE_COLOR must have before the first thing that colours is loaded, or undefined to leave it alone: what colours for
 * us does not know NO_COLOR. That name counts when it is there and not empty (no-color.org).
 */
export const forcedColour = (env: Environment): '0' | undefined => (env['NO_COLOR'] ? '0' : undefined);
