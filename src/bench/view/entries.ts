import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import { entriesOf, type EntryLine } from '../../job/entries.ts';
import type { JobState } from '../../job/state.ts';
import { spokenTime } from '../drawing/clock.ts';
import { mark, paragraphRows, type Row } from '../drawing/rows.ts';
import { jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { verdictLook } from './answer.ts';
import { personName } from './job.ts';
import type { Canvas } from './page.ts';

/** One row of the list, with the instant at which it happened (ms since 1970). */
interface Line {
  readonly ms: number;
  readonly rows: readonly Row[];
}

const hanging = 4;

const entryRows = (facts: BenchFacts, line: EntryLine, { marks, width }: Canvas): readonly Row[] => {
  const { logged, what, means, verdict, struck } = line;
  const when = spokenTime(msOf(logged.when), facts.now.ms, facts.now.offset);
  const look = verdict === undefined ? undefined : verdictLook(verdict, marks);
  const meaning = [verdict && `${look?.sign ?? ''} ${verdict}`, ...means].filter((one) => one !== undefined).join(', ');
  return [
    ...paragraphRows(`${when} ${what}`, width, 'plain', hanging),
    ...(meaning === ''
      ? []
      : paragraphRows(meaning, width - hanging, look?.style ?? 'quiet').map((row): Row => [mark('    '), ...row])),
    ...struck.flatMap(({ value, reason, by }) =>
      paragraphRows(`    struck: ${value}: ${reason} (${personName(facts, by)})`, width, 'quiet', hanging),
    ),
  ];
};

/** The typed temperatures of the places of a job's cures since it started: they are the build's, and are counted here. */
const temperatureLines = (facts: BenchFacts, job: JobState, { width }: Canvas): readonly Line[] => {
  const places = new Set(job.plan.steps.flatMap(({ cure, place = '' }) => (cure ? [place] : [])));
  const { ms: now, offset } = facts.now;
  return [...places].flatMap((place) =>
    (own(facts.build.temperatures, place) ?? [])
      .filter(({ ms }) => ms >= msOf(job.started.when))
      .map(({ ms, temperature, lowest }) => ({
        ms,
        rows: paragraphRows(
          `${spokenTime(ms, now, offset)} Temperature${place === '' ? '' : `, ${place}`}: ${temperature}${lowest === undefined ? '' : `, lowest ${lowest}`}`,
          width,
          'plain',
          hanging,
        ),
      })),
  );
};

/** Everything that was entered in a job, newest first, with what it means and what was struck; with its cures' temperatures in their places. */
export const entriesText = (facts: BenchFacts, job: JobState, canvas: Canvas): readonly Row[] => {
  const own = entriesOf(jobNow(facts, job).job).map((line) => ({
    ms: msOf(line.logged.when),
    rows: entryRows(facts, line, canvas),
  }));
  const rows = [...own, ...temperatureLines(facts, job, canvas)]
    .toSorted((one, other) => other.ms - one.ms)
    .flatMap((line) => line.rows);
  return rows.length === 0 ? [[mark('nothing is entered yet', 'quiet')]] : rows;
};
