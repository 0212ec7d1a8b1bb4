import { unset } from '../checks/features.ts';
import { shown } from '../message.ts';
import { type FolderCheck, foundFor, isAfter, reportIn } from './looking.ts';

/** Reports a feature that is relied on before anything sets it. A procedure that comes after none has this message from its own check. */
export const checkReliancesAcross: FolderCheck = (folder, member) => {
  if (member.procedure.after.length === 0 || folder.unreadable.size > 0) return;
  const { steps } = member.procedure;
  for (const [index, step] of steps.entries())
    for (const [item, feature] of step.reliesOn.entries()) {
      const found = foundFor(folder.sets, member, feature);
      const [first] = found;
      if (found.some((one) => one.member !== member || one.index <= index)) continue;
      const { what, todo } = unset(feature, first && steps[first.index]!.title);
      reportIn(folder, member, ['steps', index, 'relies-on', item], 'feature-unset', what, todo);
    }
};

/**
 * Reports a feature that is made permanent without a proof before, above or in a procedure that comes before, although something later relies on
 * it. Where all of that is in one file that comes after none, the file has this message from its own check.
 */
export const checkProofsAcross: FolderCheck = (folder, member) => {
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
      reportIn(folder, member, ['steps', index, 'sets', item], 'proof-missing', what, todo);
    }
};
