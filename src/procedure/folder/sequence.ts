import { suggest } from '../../fault/nearest.ts';
import { shown } from '../message.ts';
import { comesAfter, neverReady } from '../order.ts';
import type { Path } from '../tree.ts';
import { type Folder, type Member, reportIn } from './looking.ts';

/** Reports procedures that are named and are not in the folder, and loops. */
export const checkSequence = (folder: Folder): void => {
  const waiting = neverReady(
    folder.order,
    folder.members.map(({ procedure }) => procedure),
  );
  for (const member of folder.members) {
    checkAfter(folder, member, waiting);
    const answered = member.procedure.answers?.of;
    if (answered !== undefined) checkThere(folder, member, answered, ['answers', 'of']);
  }
};

/** Whether the folder has a procedure. Reports it where not. */
const checkThere = (folder: Folder, member: Member, id: string, path: Path): boolean => {
  if (folder.byId.has(id) || folder.unreadable.has(id)) return true;
  const near = suggest(id, folder.byId.keys());
  const todo = near === undefined ? 'add it to the folder, or take it out' : `write ${near}`;
  reportIn(folder, member, path, 'unknown-procedure', `the folder has no procedure ${shown(id)}`, todo);
  return false;
};

const checkAfter = (folder: Folder, member: Member, waiting: ReadonlySet<string>): void => {
  const { procedure } = member.procedure;
  for (const [index, after] of member.procedure.after.entries()) {
    const id = after.procedure;
    if (!checkThere(folder, member, id, ['after', index])) continue;
    if (id !== procedure && waiting.has(procedure) && comesAfter(folder.order, id, procedure)) {
      const what = `${shown(id)} comes after ${procedure} itself`;
      reportIn(folder, member, ['after', index], 'after-loop', what, 'take one of them out');
    }
  }
};
