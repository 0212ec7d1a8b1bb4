import { expect, it } from 'vitest';
import { emptyFile } from '../../src/aircraft/file.ts';
import { jobsWithKey, noJobs, withJob, type Jobs, type Keys } from '../../src/aircraft/jobs.ts';
import { leavesLoose } from '../../src/aircraft/traits.ts';
import type { JobState } from '../../src/job/state.ts';
import { chance } from '../support/chance.ts';

const tagsOf = ({ loose }: JobState): readonly string[] => loose.map(({ tag }) => tag);
const tags: Keys = { of: tagsOf, trait: leavesLoose };
const ids: Keys = { of: ({ id }) => [id], trait: { letter: '-', isByFile: false, holds: () => true } };

/** A job, as far as these questions see it. */
const jobOf = (id: string, tags: readonly string[]): JobState =>
  ({ id, loose: tags.map((tag) => ({ tag })) }) as unknown as JobState;

it('the jobs with a key are those that have it now, however often the jobs changed since it was last asked for', () => {
  const random = chance(14);
  const below = (count: number): number => Math.floor(random() * count);
  const now = new Map<string, JobState>();
  let jobs: Jobs = noJobs;
  let found = 0;
  for (let round = 0; round < 2000; round += 1) {
    const id = `keel-${(below(60) * 7919).toString(16).padStart(6, '0')}`;
    const job = jobOf(
      id,
      Array.from({ length: below(4) }, () => `T-${below(20)}`),
    );
    now.set(id, job);
    jobs = withJob(jobs, job);
    if (round % 3 > 0) continue; // several changes between two questions
    const tag = `T-${below(20)}`;
    const expected = [...now.values()].filter((one) => tagsOf(one).includes(tag));
    found += expected.length;
    expect(new Set(jobsWithKey(jobs, tag, tags, emptyFile))).toEqual(new Set(expected));
    expect(jobsWithKey(jobs, tag, tags, emptyFile)).toHaveLength(expected.length);
    expect(jobsWithKey(jobs, id, ids, emptyFile)).toEqual([job]);
  }
  expect(found).toBeGreaterThan(500);
});
