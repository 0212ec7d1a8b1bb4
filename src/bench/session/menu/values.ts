import type { JobState } from '../../../job/state.ts';
import { currentStep, isOver } from '../../../job/where.ts';
import { spokenTime } from '../../drawing/clock.ts';
import { partCorrections } from '../../parts/parts.ts';
import { readingAgainItems } from '../../parts/reading.ts';
import { jobNow } from '../../job-now.ts';
import type { BenchFacts } from '../../ports.ts';
import { promptNow } from '../prompt-now.ts';
import { outOfOrderItems } from './done.ts';
import { lateItems } from './late.ts';
import { calculators, correctItem, correctReason, formOf, group, item, info, type MenuItem } from './item.ts';

/** How many of the latest temperatures of each place are offered. */
const latest = 9;

const correctTemperatures = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  Object.entries(facts.build.temperatures).flatMap(([place, marks]) =>
    marks
      .slice(-latest)
      .map((mark) =>
        correctItem(
          job,
          mark.entry,
          `temperature${place === '' ? '' : ` ${place}`}, ${spokenTime(mark.ms, facts.now.ms, facts.now.offset)}`,
          mark.temperature,
          '°C',
        ),
      ),
  );

/** A logger's file is struck as a whole. It may be imported again, for another place or with other settings. */
const strikeLogs = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  Object.entries(facts.build.logs).flatMap(([place, marks]) =>
    marks
      .filter((mark) => mark.struck === undefined)
      .slice(-latest)
      .map((mark) =>
        item(
          `log ${mark.file}${place === '' ? '' : ` ${place}`}`,
          formOf('correct', job.id, {
            title: `Strike ${mark.file}`,
            about: [`${mark.count} rows. They count for nothing from here on; the file stays.`],
            fixed: { entry: mark.entry, value: 'none' },
            questions: [correctReason],
          }),
          `${mark.count} rows`,
        ),
      ),
  );

/** Newest first: most slips are noticed at once. */
export const correctItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  [...correctTemperatures(facts, job), ...partCorrections(job), ...strikeLogs(facts, job)].toReversed();

/** Another try of a value of the open step, with its reason. */
export const againItems = (job: JobState): readonly MenuItem[] =>
  readingAgainItems(job, currentStep(job)?.readings ?? []);

export const valueItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => [
  group('correct a value', 'correct', 'a slip of the finger'),
  group('take a value again', 'again', 'another try'),
  info('values so far', 'values'),
  calculators,
  ...(isOver(job) ? [] : outOfOrderItems(job)),
  group('correct what else was said', 'said', 'lot, tool, photo, reason, helper'),
  ...(isOver(job) ? [] : lateItems(job, promptNow(jobNow(facts, job)))),
];
