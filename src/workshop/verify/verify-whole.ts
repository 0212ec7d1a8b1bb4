import { join } from 'node:path';
import { foundWrong, noted, type Observation } from '../../record/observe.ts';
import { stateFolders } from '../../store/layout.ts';
import { hasJournal, isStateFolder, journalGone, usualName } from '../../store/state-folder.ts';
import type { Workplace } from '../place.ts';

/** States inside this one: somebody founded them from within it, with an older dryfit or by copying. */
const nestedIn = ({ disk, state }: Workplace): readonly Observation[] => {
  const folders = disk.list(state).filter((name) => disk.look(join(state, name))?.kind === 'folder');
  return folders
    .flatMap((name) => [name, `${name}/${usualName}`])
    .filter((name) =>
      name.endsWith(`/${usualName}`) ? hasJournal(disk, join(state, name)) : isStateFolder(disk, join(state, name)),
    )
    .map((name) => noted('another state is inside this one: move it out', `${name}/`));
};

/** Whether all of a state is here at all. A copy that failed half-way may lack its journal, or a state may be inside another. */
export const wholeObservations = (place: Workplace): readonly Observation[] => {
  const left = journalGone(place.disk, place.state);
  return [
    ...(left === undefined
      ? []
      : [foundWrong(`the journal is gone: ${left} is here, and journal/ has no file`, stateFolders.journal)]),
    ...nestedIn(place),
  ];
};
