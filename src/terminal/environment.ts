export type TerminalEnvironment = Readonly<Record<string, string | undefined>>;

interface MayBeTerminal {
  readonly isTTY?: boolean | undefined;
}

/** Whether a full screen can be drawn and keys can be read one by one. */
export const isInteractive = (stdin: MayBeTerminal, stdout: MayBeTerminal, env: TerminalEnvironment): boolean =>
  stdin.isTTY === true && stdout.isTTY === true && env['TERM'] !== 'dumb';

/**
 * The value that FORCE_COLOR must get before any library that colours is loaded, or undefined to leave it alone: those libraries
 * do not know NO_COLOR. NO_COLOR counts where it is set and not empty (no-color.org).
 */
export const forcedColour = (env: TerminalEnvironment): '0' | undefined => (env['NO_COLOR'] ? '0' : undefined);

/**
 * Whether the terminal can draw more than ASCII. In POSIX the first of LC_ALL, LC_CTYPE and LANG that is set and not empty
 * decides the character set. The Linux console has UTF-8, but no glyphs for half of what dryfit draws.
 */
export const drawsUnicode = (env: TerminalEnvironment): boolean => {
  const locale = [env['LC_ALL'], env['LC_CTYPE'], env['LANG']].find((value) => value !== undefined && value !== '');
  const speaks = locale !== undefined && /utf-?8/i.test(locale);
  return speaks && env['TERM'] !== 'linux' && env['TERM'] !== 'dumb';
};
