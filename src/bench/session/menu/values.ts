import { jobsOf } from '../../../aircraft/state.ts';
import { countsAt } from '../../../job/uncounted.ts';
import type { JobState } from '../../../job/state.ts';
import { currentStep, isOver, isWithdrawn } from '../../../job/where.ts';
import { spokenTime } from '../../drawing/clock.ts';
import { jobNow } from '../../job-now.ts';
import { jobName } from '../../view/job.ts';
import { partCorrections } from '../../parts/parts.ts';
import { readingAgainItems } from '../../parts/reading.ts';
import type { BenchFacts } from '../../ports.ts';
import { promptNow } from '../prompt-now.ts';
import { outOfOrderItems } from './done.ts';
import { lateItems } from './late.ts';
import { calculators, correctItem, correctReason, formOf, group, item, info, type MenuItem } from './item.ts';

/** How many of the latest temperatures of each place are offered. */
const latest = 9;

/** Jobs whose cures count what a place was like at a time, as a person names them. `to` is in ms since 1970. */
const countedIn = (facts: BenchFacts, place: string, to: number): readonly JobState[] =>
  jobsOf(facts.build).filter(
    (job) => !isWithdrawn(job) && countsAt(job, jobNow(facts, job).around, place, to, facts.now.ms),
  );

/** An item of the build, and whether this job's cures count it. */
interface Shared {
  readonly own: boolean;
  readonly item: MenuItem;
}

/** Which other jobs a correction changes too. */
const others = (jobs: readonly JobState[], job: JobState): string =>
  jobs
    .filter((one) => one !== job)
    .map(jobName)
    .join(', ');

const withOthers = (one: MenuItem, named: string): MenuItem => {
  if (named === '' || one.opens.kind !== 'form') return one;
  const { form } = one.opens;
  const about = [...form.about, `It counts in another job: ${named}.`];
  return { ...one, aside: `${one.aside ?? ''}, counts in ${named}`, opens: { kind: 'form', form: { ...form, about } } };
};

const correctTemperatures = (facts: BenchFacts, job: JobState): readonly Shared[] =>
  Object.entries(facts.build.temperatures).flatMap(([place, marks]) =>
    marks.slice(-latest).map((mark) => {
      const counted = countedIn(facts, place, mark.ms);
      const one = correctItem(
        job,
        mark.entry,
        `temperature${place === '' ? '' : ` ${place}`}, ${spokenTime(mark.ms, facts.now.ms, facts.now.offset)}`,
        mark.temperature,
        '°C',
      );
      return { own: counted.includes(job), item: withOthers(one, others(counted, job)) };
    }),
  );

/** A logger's file is struck as a whole: the number of its rows is typed. It may be imported again, for another place or with other settings. */
const strikeLogs = (facts: BenchFacts, job: JobState): readonly Shared[] =>
  Object.entries(facts.build.logs).flatMap(([place, marks]) =>
    marks
      .filter((mark) => mark.struck === undefined)
      .slice(-latest)
      .map((mark) => {
        const counted = countedIn(facts, place, mark.last);
        const rows = String(mark.count);
        const one = item(
          `log ${mark.file}${place === '' ? '' : ` ${place}`}`,
          formOf('correct', job.id, {
            title: `Strike ${mark.file}`,
            about: [`${rows} rows. They count for nothing from here on; the file stays.`],
            fixed: { entry: mark.entry, value: 'none' },
            questions: [
              ...(mark.count > 1
                ? [
                    {
                      name: 'rows',
                      ask: `How many rows are struck? Type ${rows}`,
                      kind: 'whole',
                      required: true,
                      only: rows,
                    } as const,
                  ]
                : []),
              correctReason,
            ],
          }),
          `${rows} rows`,
        );
        return { own: counted.includes(job), item: withOthers(one, others(counted, job)) };
      }),
  );

/**
 * What belongs to this job first, newest first, because most slips are noticed at once; then what is the build's and counts elsewhere, with
 * the name of the job in which it does.
 */
export const correctItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => {
  const shared = [...correctTemperatures(facts, job), ...strikeLogs(facts, job)].toReversed();
  const itemsOf = (own: boolean): readonly MenuItem[] => shared.flatMap((one) => (one.own === own ? [one.item] : []));
  return [...partCorrections(job).toReversed(), ...itemsOf(true), ...itemsOf(false)];
};

/** Another try of a value of the open step, with its reason. */
export const againItems = (job: JobState): readonly MenuItem[] =>
  readingAgainItems(job, currentStep(job)?.readings ?? []);

export const valueItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => [
  group('correct a value', 'correct', 'a slip of the finger'),
  group('take a value again', 'again', 'another try'),
  info('entries, newest first', 'entries'),
  calculators,
  ...(isOver(job) ? [] : outOfOrderItems(job)),
  group('correct what else was said', 'said', 'lot, tool, photo, reason, helper'),
  ...(isOver(job) ? [] : lateItems(job, promptNow(jobNow(facts, job)))),
  info('limits of this step, exact', 'limits'),
];
