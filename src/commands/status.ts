import { aroundJobs } from '../aircraft/status-text.ts';
import { configurationOf } from './configuration.ts';
import { failed } from './fail.ts';
import { formatOf } from './format.ts';
import { keptStatus, type KeptStatus } from '../workshop/opening/status-cache.ts';
import { mayAnswerIn } from '../workshop/procedures/answering.ts';
import { newPages } from '../workshop/procedures/new-pages.ts';
import type { Workplace } from '../workshop/place.ts';
import type { Call, CommandSpec } from './spec.ts';
import { statusFormats, statusLines, type StatusFormat } from './status-lines.ts';

/*
 * The status is asked for often, by people, prompts and scripts. So this file, and all that it imports, answers from the cache alone; what
 * makes a status from the journal is loaded only then (`status-made.ts`). The build of the program puts the two into different files.
 */

const printKept = async (call: Call, place: Workplace, kept: KeptStatus, format: StatusFormat): Promise<number> => {
  const at = place.wall();
  const folder = { bulletins: [], newPages: newPages(place, kept.rest.pages) };
  if (format === 'json') {
    const [before, after] = aroundJobs(kept.rest, folder, kept.hasJobs);
    call.print.raw(before, ...kept.printed(at), after);
    return 0;
  }
  const status = { ...kept.rest, jobs: kept.jobs(at) };
  if (format === 'text') call.print.lines(...statusLines(call, status, folder));
  else call.print.raw((await import('../report/calendar.ts')).cureCalendar(status, at));
  return 0;
};

/** Prints the status, from the cache where that was made of this very journal. */
export const printStatus = async (call: Call): Promise<number> => {
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const format = formatOf(call, 'a status', statusFormats);
  if (!format.ok) return failed(call, format.fault);
  const { place } = configuration.value;
  // The cache does not hold what was decided about bulletins.
  const kept = mayAnswerIn(place).length === 0 ? keptStatus(place) : undefined;
  if (kept !== undefined) return printKept(call, place, kept, format.value);
  const { printMadeStatus } = await import('./status-made.ts');
  return printMadeStatus(call, format.value);
};

export const statusCommand: CommandSpec = {
  name: 'status',
  about: 'jobs, what each waits for, loose items by gate, what runs out, bulletins not decided',
  usage: ['dryfit status [--format text|json|ics]', 'dryfit status --watch'],
  options: {
    watch: { type: 'boolean', about: 'stays while a pot life runs, and tells it line by line, with a bell at its end' },
  },
  more: ['ics is a calendar (iCalendar, RFC 5545) with an alarm where each running cure should be ready.'],
  run: async (call) => (call.flag('watch') ? (await import('./watch.ts')).watchPotLives(call) : printStatus(call)),
};
