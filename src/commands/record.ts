import { usage } from '../fault/fault.ts';
import { recordText } from '../record/record.ts';
import { recordHtml, recordPlain } from '../report/record-sheet.ts';
import { findJob } from '../workshop/find-job.ts';
import { headOf, recordIn, recordNumbers } from '../workshop/records.ts';
import { failed } from './fail.ts';
import { shownPath, withState, type Opened } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';

const formats = ['text', 'html', 'json'] as const;

const formatOf = (call: Call): (typeof formats)[number] | undefined => {
  const typed = call.text('format') ?? (call.flag('json') ? 'json' : 'text');
  return formats.find((known) => known === typed);
};

const run = (call: Call, opened: Opened): number => {
  const [word] = call.words;
  if (word === undefined) return failed(call, usage('word-missing', 'no job is named', 'write: dryfit record JOB'));
  const format = formatOf(call);
  if (format === undefined)
    return failed(call, usage('format-unknown', 'a record has no such format', `use one of: ${formats.join(', ')}`));
  const job = findJob(opened.workshop.state(), word);
  if (!job.ok) return failed(call, job.fault);
  const { id } = job.value;
  const document = recordIn(opened.workshop.state(), job.value, headOf(opened.workshop.desk));
  if (format === 'html') call.print.raw(recordHtml(document));
  else if (format === 'json') call.print.raw(recordText(document));
  else call.print.lines(recordPlain(document).trimEnd());
  const number = recordNumbers(opened.place.disk, opened.place.state, id).at(-1);
  call.print.note(
    number === undefined
      ? `note: ${id} has no signed record yet; this is its story so far`
      : `note: the signed record is ${shownPath(opened, `records/${id}/${number}`)}`,
  );
  return 0;
};

export const record: CommandSpec = {
  name: 'record',
  about: "one job's record",
  usage: ['dryfit record JOB [--format text|html|json]'],
  options: {},
  more: [
    'What the journal tells of the job now. The signed record of a completed job lies in the state, in records/JOB.',
  ],
  run: (call) => withState(call, 'read', (opened) => run(call, opened)),
};
