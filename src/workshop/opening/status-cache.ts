import { hasForecast, jobLater } from '../../aircraft/status-later.ts';
import { unchangedUntil } from '../../aircraft/status-now.ts';
import type { BuildStatus, JobStatus } from '../../aircraft/status.ts';
import { betweenJobs, jobText } from '../../aircraft/status-text.ts';
import type { Facts } from '../../store/disk.ts';
import { isStill, keep, keptPath, fileNamesIn, readKept } from '../../store/opening-files.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { hasDraft, readDraftText } from '../draft-file.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';

/*
 * Prompts and scripts ask for `status` all day, so it must not read the procedures and fold the journal each time. The last
 * status is kept in the cache folder with the facts of the files that it was made from. It is made anew where a file was touched
 * or the program is another. A file that is kept has one line of contents, then the jobs as `status --json` prints them: those of a
 * build of years are printed again without being read.
 */

interface Contents {
  readonly program: string;
  readonly files: readonly (readonly [string, Facts])[];
  /** When it was made, in ms since 1970. */
  readonly at: number;
  /** Until when it is true, in ms since 1970, but for forecasts. */
  readonly until: number;
  /** The status without its jobs. */
  readonly rest: Omit<BuildStatus, 'jobs'>;
  /** How many jobs there are. */
  readonly jobs: number;
  /** The jobs that change with the clock alone: where in the text each begins, its length in bytes, and its status. */
  readonly running: readonly (readonly [from: number, length: number, job: JobStatus])[];
  /** SHA-256 of the build.yaml in force: a draft that differs is read each time, because it may have a slip. */
  readonly draft: string;
}

/** A status that was kept. */
export interface KeptStatus {
  /** The status without its jobs. */
  readonly rest: Omit<BuildStatus, 'jobs'>;
  readonly hasJobs: boolean;
  /** The jobs at a later instant (ms since 1970). */
  readonly jobs: (at: number) => readonly JobStatus[];
  /** The same as `status --json` prints them, in pieces of UTF-8. */
  readonly printed: (at: number) => readonly Uint8Array[];
}

const isDraft = (place: Workplace, sha256: string): boolean => {
  const text = hasDraft(place) ? readDraftText(place) : undefined;
  return text === undefined || (text.ok && sha256Hex(text.value) === sha256);
};

const pathOf = ({ disk, cache, state }: Workplace): string => keptPath(cache, disk.real(state), 'status');

/** The text of the jobs, with those printed anew that change with the clock. */
const printedAt = (text: Buffer, { running }: Contents, at: number): readonly Uint8Array[] => {
  const pieces: Uint8Array[] = [];
  let done = 0;
  for (const [from, length, job] of running) {
    pieces.push(text.subarray(done, from), Buffer.from(jobText(jobLater(job, at)), 'utf8'));
    done = from + length;
  }
  return [...pieces, text.subarray(done)];
};

const keptOf = (contents: Contents, text: Buffer): KeptStatus => ({
  rest: contents.rest,
  hasJobs: contents.jobs > 0,
  jobs: (at) => (JSON.parse(`[${text.toString('utf8')}]`) as readonly JobStatus[]).map((job) => jobLater(job, at)),
  printed: (at) => printedAt(text, contents, at),
});

/** The status that was made from exactly these files. `undefined` where the clock is now before the time when it was made, or past its end. */
export const keptStatus = (place: Workplace): KeptStatus | undefined => {
  const { disk, state, program } = place;
  if (program === undefined || disk.look(state) === undefined) return undefined;
  try {
    const bytes = readKept(disk, pathOf(place));
    if (bytes === undefined) return undefined;
    const end = bytes.indexOf('\n');
    const contents = JSON.parse(bytes.toString('utf8', 0, end)) as Contents;
    const now = place.wall();
    if (contents.program !== program || contents.at > now || contents.until < now) return undefined;
    // a file in `journal/` that is not a writer's own is reported each time
    const isPlain = fileNamesIn(disk, state).unread.length === 0;
    const isSame = isPlain && isDraft(place, contents.draft) && isStill(disk, state, new Map(contents.files));
    return isSame ? keptOf(contents, bytes.subarray(end + 1)) : undefined;
  } catch {
    return undefined; // the cache is damaged or cannot be read, so the status is made anew
  }
};

/** Keeps a status for the next time. `at` is in ms since 1970. Where that fails only time is lost. */
export const keepStatus = (
  { place, watched, isWhole, torn, state }: OpenState,
  status: BuildStatus,
  at: number,
): void => {
  if (place.program === undefined || !isWhole || torn.size > 0) return; // a torn line is reported each time
  const { jobs, ...rest } = status;
  const texts = jobs.map(jobText);
  const running: [number, number, JobStatus][] = [];
  let from = 0;
  for (const [index, text] of texts.entries()) {
    const job = jobs[index];
    const length = Buffer.byteLength(text);
    if (job !== undefined && hasForecast(job)) running.push([from, length, job]);
    from += length + betweenJobs.length;
  }
  const contents: Contents = {
    program: place.program,
    files: [...watched],
    at,
    until: unchangedUntil(state, at),
    rest,
    jobs: jobs.length,
    running,
    draft: state.fileSha256,
  };
  keep(place.disk, pathOf(place), `${JSON.stringify(contents)}\n${texts.join(betweenJobs)}`);
};
