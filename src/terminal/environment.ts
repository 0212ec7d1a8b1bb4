export type TerminalEnvironment = Readonly<Record<string, string | undefined>>;

interface MayBeTerminal {
  readonly isTTY?: boolean | undefined;
}

/** Whether a full screen can be drawn and keys can be read one by one. */
export const isInteractive = (stdin: MayBeTerminal, stdout: MayBeTerminal, env: TerminalEnvironment): boolean =>
  stdin.isTTY === true && stdout.isTTY === true && env['TERM'] !== 'dumb';

/**
 * The value that FORCE_COLOR must have before the first thing that colours is loaded, or undefined to leave it alone: what colours for
 * us does not know NO_COLOR. That name counts when it is there and not empty (no-color.org).
 */
export const forcedColour = (env: TerminalEnvironment): '0' | undefined => (env['NO_COLOR'] ? '0' : undefined);

/**
 * Whether the terminal draws more than ASCII. POSIX: the first of LC_ALL, LC_CTYPE, LANG that is set and not empty decides the character
 * set; the Linux console has UTF-8 but no glyphs for half of what we would draw.
 */
export const drawsUnicode = (env: TerminalEnvironment): boolean => {
  const locale = [env['LC_ALL'], env['LC_CTYPE'], env['LANG']].find((value) => value !== undefined && value !== '');
  const speaks = locale !== undefined && /utf-?8/i.test(locale);
  return speaks && env['TERM'] !== 'linux' && env['TERM'] !== 'dumb';
};
