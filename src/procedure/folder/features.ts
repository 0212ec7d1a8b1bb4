import { shown } from '../message.ts';
import { type FolderCheck, foundFor, isAfter, tell } from './looking.ts';

/** A feature relied on that nothing sets. A procedure that comes after none has been told so by itself. */
export const checkReliances: FolderCheck = (folder, member) => {
  if (member.procedure.after.length === 0 || folder.unreadable.size > 0) return;
  for (const [index, step] of member.procedure.steps.entries())
    for (const [item, feature] of step.reliesOn.entries())
      if (foundFor(folder.sets, member, feature).length === 0)
        tell(
          folder,
          member,
          ['steps', index, 'relies-on', item],
          'feature-unset',
          `nothing in the folder sets ${shown(feature)}`,
          `add sets: [${feature}] to the step that fixes it`,
        );
};

/**
 * A feature made permanent on which something later relies, with no proof before: neither above nor in a procedure that comes before.
 * Where the whole of it lies in one file that comes after none, the file has been told so by itself.
 */
export const checkProofs: FolderCheck = (folder, member) => {
  if (folder.unreadable.size > 0) return;
  const { steps, after, procedure } = member.procedure;
  for (const [index, step] of steps.entries())
    for (const [item, feature] of step.sets.entries()) {
      const relies = foundFor(folder.relies, member, feature);
      const own = relies.find((found) => found.member === member && found.index > index);
      if (own !== undefined && after.length === 0) continue;
      const relier = own ?? relies.find((found) => isAfter(folder, found.member, member));
      if (relier === undefined) continue;
      const isProved = foundFor(folder.proves, member, feature).some((found) =>
        found.member === member ? found.index < index : isAfter(folder, member, found.member),
      );
      if (isProved) continue;
      const on = relier.member.procedure;
      const who = `${shown(on.steps[relier.index]!.title)}${on.procedure === procedure ? '' : ` of ${on.procedure}`}`;
      const what = `${shown(step.title)} makes ${feature} permanent and ${who} relies on it, yet no step before proves it`;
      const todo = `add proves: [${feature}] to the dry trial before it`;
      tell(folder, member, ['steps', index, 'sets', item], 'proof-missing', what, todo);
    }
};
