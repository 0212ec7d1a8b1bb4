import { statusNow } from '../aircraft/status-now.ts';
import { usage } from '../fault/fault.ts';
import { cureCalendar } from '../report/calendar.ts';
import { recordHtml, recordPlain } from '../report/record-sheet.ts';
import { findJob } from '../workshop/find-job.ts';
import { recordIn } from '../workshop/records/record-in.ts';
import { headOf, recordNumbers } from '../workshop/records/records.ts';
import { failed } from './fail.ts';
import { formatOf } from './format.ts';
import { shownPath, withState, type OpenedWorkshop } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';

const formats = ['text', 'html', 'json', 'ics'] as const;

/** The cures of one job as a calendar. */
const calendarOf = (opened: OpenedWorkshop, id: string): string => {
  const at = opened.place.wall();
  const status = statusNow(opened.workshop.state(), at);
  return cureCalendar({ build: status.build, jobs: status.jobs.filter((job) => job.id === id) }, at);
};

const run = (call: Call, opened: OpenedWorkshop): number => {
  const [word] = call.words;
  if (word === undefined) return failed(call, usage('word-missing', 'no job is named', 'write: dryfit record JOB'));
  const format = formatOf(call, 'a record', formats);
  if (!format.ok) return failed(call, format.fault);
  const job = findJob(opened.workshop.state(), word);
  if (!job.ok) return failed(call, job.fault);
  const { id } = job.value;
  if (format.value === 'ics') {
    call.print.raw(calendarOf(opened, id));
    return 0;
  }
  const document = recordIn(opened.workshop.state(), job.value, headOf(opened.workshop.openState));
  if (format.value === 'html') call.print.raw(recordHtml(document));
  else if (format.value === 'json') call.print.json(document);
  else call.print.lines(...recordPlain(document).trimEnd().split('\n'));
  const number = recordNumbers(opened.place.disk, opened.place.state, id).at(-1);
  call.print.note(
    number === undefined
      ? `note: ${id} has no signed record yet; this is its story so far`
      : `note: the signed record is ${shownPath(opened, `records/${id}/${number}`)}`,
  );
  return 0;
};

export const recordCommand: CommandSpec = {
  name: 'record',
  about: "one job's record",
  usage: ['dryfit record JOB [--format text|html|json|ics]'],
  options: {},
  more: [
    'What the journal tells of the job now. The signed record of a completed job lies in the state, in records/JOB.',
    'ics is a calendar (iCalendar, RFC 5545) with an alarm where each cure of the job that runs should be ready.',
  ],
  run: (call) => withState(call, 'read', (opened) => run(call, opened)),
};
