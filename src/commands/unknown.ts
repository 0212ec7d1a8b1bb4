import { usage, type Fault } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { commands } from './names.ts';

/** For a word that names neither a command nor a job. */
export const unknownCommand = (word: string): Fault => {
  const guess = suggest(
    word,
    commands.map(({ name }) => name),
  );
  return usage(
    'command-unknown',
    `there is no command or job '${word}'`,
    guess === undefined ? 'dryfit --help lists the commands' : `Did you mean dryfit ${guess}?`,
  );
};
