import { bulletinsOf } from '../aircraft/bulletins.ts';
import { statusNow } from '../aircraft/status-now.ts';
import { cureCalendar } from '../report/calendar.ts';
import { keepStatus } from '../workshop/opening/status-cache.ts';
import { answeringProcedures } from '../workshop/procedures/bulletins.ts';
import { newPages } from '../workshop/procedures/new-pages.ts';
import { failed } from './fail.ts';
import { withState } from './open.ts';
import type { Call } from './spec.ts';
import { statusLines, type StatusFormat } from './status-lines.ts';

/** Prints the status made from the journal. It is kept for the next time, unless there are notices to print. */
export const printMadeStatus = (call: Call, format: StatusFormat): Promise<number> =>
  withState(call, 'read', ({ workshop, place }) => {
    const at = place.wall();
    const status = statusNow(workshop.state(), at);
    const closed = workshop.closed();
    const isPlain = closed === undefined && workshop.notices().length === 0 && at >= workshop.state().lastAt;
    if (isPlain && status.build !== '') keepStatus(workshop.openState, status, at);
    const folder = {
      bulletins: bulletinsOf(workshop.state(), answeringProcedures(place)),
      newPages: newPages(place, status.pages),
    };
    if (format === 'json') call.print.json({ ...status, ...folder });
    else if (format === 'ics') call.print.raw(cureCalendar(status, at));
    else call.print.lines(...statusLines(call, status, folder, closed));
    return closed && closed.kind !== 'refused' ? failed(call, closed) : 0;
  });
