import { dirname, join } from 'node:path';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { Disk } from '../store/disk.ts';
import { enclosingState, hasJournal, isStateFolder, realPath, upwards, usualName } from '../store/state-folder.ts';
import { fromHere } from './folders.ts';
import type { Environment } from './host.ts';

/** Which state folder a command works in. */
export interface WhichState {
  readonly state: string;
  /** `named` by the person, `found` here or above, or the `usual` folder, where nothing is yet. */
  readonly how: 'named' | 'found' | 'usual';
}

const within = (path: string, outer: string): Fault =>
  usage(
    'state-within',
    `${path} is inside another state, ${outer}`,
    `name that state (--state ${outer}), or a folder outside it`,
  );

const nameless = usage('state-empty', 'the state folder that is named is an empty text', 'name a folder: --state DIR');

/**
 * The nearest state, from the current folder upwards: that folder itself, or `state` in it. The search ends with the home folder, or
 * with the topmost folder where the current one is not in the home folder.
 */
const nearest = (disk: Disk, { cwd, home }: Environment): string | undefined => {
  const folders = upwards(disk, cwd);
  const last = folders.indexOf(realPath(disk, home));
  for (const folder of last === -1 ? folders : folders.slice(0, last + 1)) {
    if (isStateFolder(disk, folder)) return folder;
    const usual = join(folder, usualName);
    if (hasJournal(disk, usual)) return usual;
  }
  return undefined;
};

/**
 * Which state a command works in: the one that was named, else the nearest one, else `./state`, which is then new. A state is never
 * founded inside another one; one that is there already can be named, so that what it holds is not lost. Codes `state-within`, `state-empty`.
 * @param named the path that the person named, by an option, the environment or a setting.
 */
export const whichState = (disk: Disk, env: Environment, named: string | undefined): Outcome<WhichState> => {
  if (named === undefined) {
    const found = nearest(disk, env);
    return ok(found === undefined ? { state: fromHere(env, usualName), how: 'usual' } : { state: found, how: 'found' });
  }
  if (named === '') return err(nameless);
  const state = fromHere(env, named);
  const outer = enclosingState(disk, state);
  return outer === undefined || isStateFolder(disk, realPath(disk, state))
    ? ok({ state, how: 'named' })
    : err(within(named, outer));
};

/** The folder of the procedures where none was named: `./procedures`, else the one beside the state that was found. */
export const whichProcedures = (disk: Disk, env: Environment, { state, how }: WhichState): string => {
  const here = fromHere(env, 'procedures');
  const beside = join(dirname(state), 'procedures');
  const isThere = (path: string): boolean => disk.look(path) !== undefined;
  return how === 'found' && !isThere(here) && isThere(beside) ? beside : here;
};
