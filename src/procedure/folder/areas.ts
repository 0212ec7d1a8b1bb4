import { isOpenedBetween, areasLeftOpen, reachedFirst } from '../areas.ts';
import { forEach } from '../order.ts';
import { type Folder, isAfter, type Member, reportIn } from './looking.ts';

type ByArea = ReadonlyMap<string, readonly Member[]>;

const byArea = ({ members }: Folder, areas: (member: Member) => ReadonlySet<string>): ByArea => {
  const found = new Map<string, Member[]>();
  for (const member of members)
    for (const area of areas(member)) {
      const list = found.get(area);
      if (list === undefined) found.set(area, [member]);
      else list.push(member);
    }
  return found;
};

/** Reports an area that a procedure leaves covered, where a procedure that comes after must reach it before anything uncovers it. */
export const checkCoversAcross = (folder: Folder): void => {
  const reached = byArea(folder, ({ procedure }) => reachedFirst(procedure));
  const opened = byArea(folder, ({ procedure }) => areasLeftOpen(procedure));
  for (const member of folder.members) checkMember(folder, member, reached, opened);
};

const checkMember = (folder: Folder, member: Member, reached: ByArea, opened: ByArea): void => {
  const { steps, procedure } = member.procedure;
  const lastOpened = new Map(steps.flatMap(({ uncovers }, index) => uncovers.map((area) => [area, index] as const)));
  for (const [index, step] of steps.entries())
    for (const [item, name] of step.covers.entries()) {
      if ((lastOpened.get(name) ?? -1) > index) continue;
      const buried = forEach(member.procedure, name)
        .flatMap((area) => {
          const openers = (opened.get(area) ?? []).map((one) => one.procedure.procedure);
          return (reached.get(area) ?? []).map((other) => ({ area, other, openers }));
        })
        .find(
          ({ other, openers }) =>
            other !== member &&
            isAfter(folder, other, member) &&
            !isOpenedBetween(openers, folder.order, procedure, other.procedure.procedure),
        );
      if (buried === undefined) continue;
      const other = buried.other.procedure.procedure;
      const what = `${buried.area} is covered here, and ${other}, which comes after, must still reach it`;
      const todo = `let ${procedure} come after ${other}, or uncovers: it there before`;
      reportIn(folder, member, ['steps', index, 'covers', item], 'covered-early', what, todo);
    }
};
