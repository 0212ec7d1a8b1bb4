import { recordIn } from './record-in.ts';
import { jobOf, jobsOf, powersOf, type BuildState } from '../../aircraft/state.ts';
import { err, FaultError, ok, type Fault, type Outcome } from '../../fault/fault.ts';
import type { JobState } from '../../job/state.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { namespaces } from '../../proof/sshsig.ts';
import { holdFilesOf } from '../../record/hold-files.ts';
import { maxRecord } from '../../record/read.ts';
import { recordText, type RecordHead } from '../../record/record.ts';
import { recordHtml } from '../../report/record-sheet.ts';
import type { Disk } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { inState, isRecordNumber, recordFolder, stateFolders } from '../../store/layout.ts';
import { readFile } from '../../store/read-file.ts';
import { publishFolder } from '../../store/record-folder.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';
import type { SignerOf } from '../keys/signers.ts';
import { sameData } from '../../proof/canonical.ts';
import { isSameJob } from '../../aircraft/jobs.ts';
import { overbuiltIn } from '../../aircraft/over.ts';
import { own } from '../../fault/own.ts';

/** The numbers of the existing records of a job, ascending. */
export const recordNumbers = (disk: Disk, state: string, job: string): readonly number[] =>
  disk
    .list(inState(state, `${stateFolders.records}/${job}`))
    .filter(isRecordNumber)
    .map(Number)
    .toSorted((a, b) => a - b);

/** Throws where the disk fails, because a record that does not name the one before it would never agree with the journal. */
const latestText = (openState: OpenState, job: string): string | undefined => {
  const number = recordNumbers(openState.place.disk, openState.place.state, job).at(-1);
  const folder = number === undefined ? undefined : recordFolder(job, number);
  if (folder === undefined) return undefined;
  const path = `${folder}/record.json`;
  const bytes = readFile(openState.place.disk, inState(openState.place.state, path), {
    where: path,
    limit: maxRecord,
  });
  if (!bytes.ok && bytes.fault.code === 'disk-failed') throw new FaultError(bytes.fault);
  return bytes.ok ? Buffer.from(bytes.value).toString('utf8') : undefined;
};

/** The hash of the entry that the latest record of a job must have; `undefined` before the job is completed. */
export const lastRecorded = ({ completed, log }: JobState): string | undefined =>
  completed === undefined ? undefined : log.at(-1)?.hash;

/** True where the journal has more entries of a completed job than its latest record. */
const isOwed = (openState: OpenState, job: JobState): boolean => {
  const last = lastRecorded(job);
  return last !== undefined && latestText(openState, job.id)?.includes(last) !== true;
};

/** The jobs whose record is owed; `undefined` where the disk cannot be read, and the next session tries again. */
export const owedRecords = (openState: OpenState): readonly JobState[] | undefined => {
  const { state } = openState;
  const asked = openState.owed?.flatMap((id) => jobOf(state, id) ?? []) ?? jobsOf(state);
  const owed = onDisk(stateFolders.records, () => asked.filter((job) => isOwed(openState, job)));
  return owed.ok ? owed.value : undefined;
};

/** The jobs that have a record. Throws what the disk throws. */
export const recordedJobs = ({ disk, state }: Workplace): readonly string[] =>
  disk.list(inState(state, stateFolders.records));

const anyHead: RecordHead = { writer: '', seq: 1, hash: '' };

/**
 * Entries that do not belong to a job, or belong to another one, and may still change its record: a temperature entered late, a
 * tool found wrong, a sample that failed for it, and how that was disposed of.
 */
const reachesJobs: ReadonlySet<string> = new Set([
  'temperature',
  'temperatures',
  'tool',
  'build',
  'correct',
  'start',
  'break',
  'dispose',
  'undo',
  'finish',
  'withdraw',
]);

/** The places whose temperatures are known otherwise than before. */
const placesWithNewTemperatures = (before: BuildState, after: BuildState): ReadonlySet<string> => {
  const changed = <Marks>(
    were: Readonly<Record<string, Marks>>,
    are: Readonly<Record<string, Marks>>,
  ): readonly string[] => Object.keys(are).filter((place) => own(were, place) !== own(are, place));
  return new Set([...changed(before.temperatures, after.temperatures), ...changed(before.logs, after.logs)]);
};

/** What a temperature can change in a job: how long its glue stayed wet, and how far its cures have come. */
const isGluedAt = (job: JobState, places: ReadonlySet<string>): boolean =>
  [...job.plan.steps, ...job.former].some(
    (step) => (step.mix !== undefined || step.cure !== undefined) && places.has(step.place ?? ''),
  );

/** What the stock can change in a job: the lots and parts that it used, and what was built over work in doubt. */
const isOfStock =
  (before: BuildState, after: BuildState) =>
  (job: JobState): boolean =>
    job.lots.length > 0 ||
    job.fitted.length > 0 ||
    overbuiltIn(after, job).length > 0 ||
    overbuiltIn(before, job).length > 0;

const hasTwin = ({ plan }: JobState): boolean =>
  plan.steps.some(({ readings }) => readings.some((one) => one.kind === 'quantity' && one.twin !== undefined));

/**
 * Which completed jobs an entry of another job, or of none, can change. Each of their records is then made twice and compared,
 * which takes long in a build of years. Temperatures and starts are entered often, so they are narrowed down; entries that put
 * work in doubt are rare.
 */
const reachedBy = (before: BuildState, after: BuildState, type: string): ((job: JobState) => boolean) => {
  if (!reachesJobs.has(type)) return () => false;
  if (type === 'temperature' || type === 'temperatures') {
    const places = placesWithNewTemperatures(before, after);
    return (job) => isGluedAt(job, places);
  }
  if (type === 'build') return sameData(before.file.stock, after.file.stock) ? () => false : isOfStock(before, after);
  if (type === 'finish') {
    // the last side of a twin closes it: the records of the sides before say so
    const finished = after.jobOrder.find((id) => !isSameJob(before.jobs, after.jobs, id));
    const procedure = finished === undefined ? undefined : jobOf(after, finished)?.procedure;
    return (job) => job.procedure === procedure && hasTwin(job);
  }
  if (type !== 'start') return () => true;
  const started = jobOf(after, after.jobOrder.at(-1) ?? '')?.procedure;
  // the other side of the same work, and what is built over work in doubt
  return (job) =>
    job.procedure === started || overbuiltIn(after, job).length > 0 || overbuiltIn(before, job).length > 0;
};

/** The completed jobs whose record an entry has changed. */
export const changedStories = (before: BuildState, after: BuildState, type: string): readonly JobState[] => {
  const isReached = reachedBy(before, after, type);
  // The text of build.yaml is named in every record, and does not change a story by itself.
  const was = { ...before, lastAt: after.lastAt, fileSha256: after.fileSha256 };
  const isRetold = (job: JobState): boolean => {
    const old = jobOf(before, job.id);
    if (old?.completed === undefined || !isReached(job)) return false;
    return !sameData(recordIn(was, old, anyHead), recordIn(after, job, anyHead));
  };
  return after.jobOrder.flatMap((id) => {
    const isTouched = !isSameJob(before.jobs, after.jobs, id);
    const job = isTouched || reachesJobs.has(type) ? jobOf(after, id) : undefined;
    return job?.completed !== undefined && (isTouched || isRetold(job)) ? [job] : [];
  });
};

/** The builder who signs a record, and where their key is found. */
export interface RecordSigner {
  readonly by: string;
  readonly signerOf: SignerOf;
}

const previousOf = (openState: OpenState, job: string): string | undefined => {
  const text = latestText(openState, job);
  return text === undefined ? undefined : sha256Hex(text);
};

/** Who may sign records: a builder of this build. */
export const maySignRecords = (state: BuildState, person: string): boolean =>
  powersOf(state, person).includes('builder');

/** The files of one record, by their names in its folder, signed by a builder. */
export const recordFiles = (
  openState: OpenState,
  job: JobState,
  { by, signerOf }: RecordSigner,
): Outcome<ReadonlyMap<string, Uint8Array>> => {
  const head = headOf(openState);
  const document = recordIn(openState.state, job, head, previousOf(openState, job.id), by);
  const signer = signerOf(by);
  if (!signer.ok) return signer;
  const text = recordText(document);
  const page = recordHtml(document);
  const signature = signer.value.signArmored(namespaces.record, text);
  if (!signature.ok) return signature;
  const pageSignature = signer.value.signArmored(namespaces.record, page);
  if (!pageSignature.ok) return pageSignature;
  const files = new Map<string, string>([
    ['record.json', text],
    ['record.json.sig', signature.value],
    ['record.html', page],
    ['record.html.sig', pageSignature.value],
  ]);
  for (const { file, text: answer, signature } of holdFilesOf(job)) {
    files.set(file, answer);
    files.set(`${file}.sig`, signature);
  }
  return ok(new Map([...files].map(([name, content]) => [name, Buffer.from(content, 'utf8')])));
};

/** The last line that this session has read or written: the record rests on it. */
export const headOf = ({ last }: OpenState): RecordHead => ({
  writer: last?.line.writer ?? '',
  seq: last?.line.seq ?? 0,
  hash: last?.hash ?? '',
});

/**
 * Writes the next record of a job, all its files at once, and gives the path of its folder in the state. A fault here does not
 * undo the entry.
 */
export const writeRecord = (openState: OpenState, job: JobState, signer: RecordSigner): Outcome<string> => {
  if (!maySignRecords(openState.state, signer.by)) return err(noBuilder(signer.by));
  const written = onDisk(stateFolders.records, () => writeNext(openState, job, signer));
  return written.ok ? written.value : written;
};

const writeNext = (openState: OpenState, job: JobState, signer: RecordSigner): Outcome<string> => {
  const files = recordFiles(openState, job, signer);
  if (!files.ok) return files;
  const number = (recordNumbers(openState.place.disk, openState.place.state, job.id).at(-1) ?? 0) + 1;
  const folder = recordFolder(job.id, number);
  if (folder === undefined) return err(noFolder(job.id));
  const written = publishFolder(openState.place.disk, openState.place.state, folder, files.value);
  return written.ok ? ok(folder) : written;
};

const noBuilder = (person: string): Fault => ({
  kind: 'usage',
  code: 'record-signer',
  what: `${person} is not a builder`,
  todo: 'it is written when a builder next enters something',
});

const noFolder = (job: string): Fault => ({
  kind: 'disk',
  code: 'record-name',
  what: `the job ${job} cannot name a folder`,
  todo: 'give the procedure a shorter id, then start it again',
});
