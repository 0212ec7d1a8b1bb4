import type { Outcome } from '../fault/fault.ts';
import { err, ok, usage } from '../fault/fault.ts';
import type { CommandOf, EntryOf } from '../job/entry.ts';
import type { JobState } from '../job/state.ts';
import { isVerb, type BuildVerb, type Verb } from '../job/verbs.ts';
import { readingOf } from '../procedure/plan.ts';
import type { BuildCorrectable } from './acts/act.ts';
import { buildActs } from './acts/all.ts';
import { jobOf, jobsOf, type BuildState } from './state.ts';

/*
 * Finds the entry that a correction names, in whatever job it is. It may be sent from another job.
 */

const rows = Object.values(buildActs).flatMap(({ correct }) => ('instead' in correct ? [] : [correct]));

/** True where a job has what is named by a reading, a batch, a sample, a tag, a part or a photo. */
const isNamedIn = (job: JobState, name: string): boolean =>
  readingOf(job.plan, name) !== undefined ||
  isOwnName(job, name) ||
  [...job.fitted.map(({ part }) => part), ...job.photos.map(({ photo }) => photo)].includes(name);

/** The names that no two jobs of a build share. */
const isOwnName = ({ batches, loose }: JobState, name: string): boolean =>
  batches.some(({ batch, sample }) => batch === name || sample?.id === name) || loose.some(({ tag }) => tag === name);

/** True where the entry was made in this job. A closing is listed in the job that left the item, too. */
const isMadeIn = (job: JobState, entry: string): boolean => {
  const line = job.log.find((one) => one.entry === entry);
  return line !== undefined && (line.job === undefined || line.job === job.id);
};

/** True where the job keeps the entry among its batches or its shop: their temperatures are known to the build, too. */
const keepsTyped = ({ batches, shop }: JobState, entry: string): boolean =>
  [...batches, ...shop].some((one) => one.entry === entry);

/** Where the entry of a correction is: in a job, or with the whole build. */
type Found = { readonly job: JobState } | { readonly row: BuildCorrectable };

export const findCorrected = (
  state: BuildState,
  { job: id, data }: Pick<CommandOf<'correct'>, 'job' | 'data'>,
): Found | undefined => {
  const { entry: name } = data;
  const asked = jobOf(state, id);
  if (asked && (isNamedIn(asked, name) || isMadeIn(asked, name))) return { job: asked };
  const row = rows.find(({ has }) => has(state, name));
  const others = jobsOf(state).filter((job) => job !== asked);
  const job = row
    ? others.find((one) => keepsTyped(one, name))
    : (others.find((one) => isOwnName(one, name)) ?? others.find((one) => isMadeIn(one, name)));
  if (job) return { job };
  return row && { row };
};

/** An entry of the build that is not corrected; `undefined` where it is another. */
export const notCorrectedFault = (job: JobState, name: string): Outcome<true> => {
  const type = job.log.find((one) => one.entry === name)?.type ?? '';
  const correct = isVerb(type) && isBuildVerb(type) ? buildActs[type].correct : undefined;
  return correct && 'instead' in correct
    ? err(usage('not-corrected', `${name} is a ${type}, which is not corrected`, correct.instead))
    : ok(true);
};

const isBuildVerb = (verb: Verb): verb is BuildVerb => Object.hasOwn(buildActs, verb);

/** What a correction of an entry of the whole build changes. */
export const evolveCorrectedInBuild = (state: BuildState, entry: EntryOf<'correct'>): BuildState =>
  rows.find(({ has }) => has(state, entry.data.entry))?.evolve(state, entry) ?? state;

/** The verb of the entry that a correction names; `undefined` where there is none. */
export const verbCorrected = (
  state: BuildState,
  command: Pick<CommandOf<'correct'>, 'job' | 'data'>,
): Verb | undefined => {
  const found = findCorrected(state, command);
  if (!found || 'row' in found) return undefined;
  const { entry: name } = command.data;
  if (found.job.photos.some(({ photo }) => photo === name)) return 'photo';
  const type = found.job.log.find(({ entry }) => entry === name)?.type ?? '';
  return isVerb(type) ? type : undefined;
};
