import { err, usage } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import { stampOf } from '../draft.ts';
import { isOpenItem, leftOpen } from '../loose.ts';
import { takeUnless, type Act } from './act.ts';

/** Closes a loose item, by count. The job that closes it and the job that left it both record the closing. */
export const closeAct: Act<'close'> = {
  decide: (ask) => {
    const { tag, count } = ask.data;
    const open = ask.moment.around.looseItems.filter(isOpenItem);
    const item = open.find((one) => one.tag === tag) ?? open.find((one) => one.item === tag);
    if (!item) {
      const known = open.map((one) => one.tag);
      return err(unknownId(`no open loose item '${tag}'`, tag, known));
    }
    const left = leftOpen(item) - count;
    if (count < 1 || left < 0)
      return err(
        usage('value-unreadable', `${item.tag} ${item.item} has ${leftOpen(item)} open, not ${count}`, 'count again'),
      );
    return takeUnless(ask, undefined, [], {
      data: { tag: item.tag, item: item.item, left },
      told: [left === 0 ? `${item.tag} ${item.item} is closed` : `${item.tag} ${item.item}: ${left} still open`],
    });
  },
  evolve: (draft, entry) => {
    const { tag, item, count, left } = entry.data;
    if (entry.job === draft.id) draft.closings.push({ ...stampOf(entry), tag, item, count, left });
    const tagged = draft.loose.find((one) => one.tag === tag);
    if (tagged) tagged.closings.push({ ...stampOf(entry), count });
  },
  words: () => 'counted',
};
