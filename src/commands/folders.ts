import { join, resolve } from 'node:path';
import type { Environment } from './host.ts';

/** A person's own folders on this machine. They are never in the state, nor the state in them. */
export interface OwnFolders {
  /** Settings, private keys, writers. */
  readonly config: string;
  /** Lock and snapshot. */
  readonly cache: string;
}

/** The folders by the XDG Base Directory Specification, on every system alike. */
export const ownFolders = ({ variables, home }: Environment): OwnFolders => {
  const base = (variable: string, fallback: string): string => {
    const named = variables[variable];
    return join(named === undefined || named === '' ? join(home, fallback) : resolve(named), 'dryfit');
  };
  return { config: base('XDG_CONFIG_HOME', '.config'), cache: base('XDG_CACHE_HOME', '.cache') };
};

/** A path that a person typed, resolved from the folder where they are. */
export const fromHere = ({ cwd }: Environment, path: string): string => resolve(cwd, path);

/** A folder as the person typed it, without the slashes at its end. */
export const withoutLastSlash = (path: string): string => path.replace(/(?<=.)\/+$/, '');
