import { suggest } from '../../fault/nearest.ts';
import { shown } from '../message.ts';
import { comesAfter, neverReady } from '../order.ts';
import { type Folder, type Member, tell } from './looking.ts';

/** Procedures that are named and not there, and loops. */
export const checkSequence = (folder: Folder): void => {
  const waiting = neverReady(
    folder.order,
    folder.members.map(({ procedure }) => procedure),
  );
  for (const member of folder.members) checkAfter(folder, member, waiting);
};

const checkAfter = (folder: Folder, member: Member, waiting: ReadonlySet<string>): void => {
  const { procedure } = member.procedure;
  for (const [index, after] of member.procedure.after.entries()) {
    const id = after.procedure;
    if (!folder.byId.has(id) && !folder.unreadable.has(id)) {
      const near = suggest(id, folder.byId.keys());
      const todo = near === undefined ? 'add it to the folder, or take it out' : `write ${near}`;
      tell(folder, member, ['after', index], 'unknown-procedure', `the folder has no procedure ${shown(id)}`, todo);
    } else if (id !== procedure && waiting.has(procedure) && comesAfter(folder.order, id, procedure)) {
      const what = `${shown(id)} comes after ${procedure} itself`;
      tell(folder, member, ['after', index], 'after-loop', what, 'take one of them out');
    }
  }
};
