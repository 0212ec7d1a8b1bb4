import { jobOf, type BuildState } from '../build/state.ts';
import { sha256Hex } from '../proof/hash.ts';
import { recordMatches } from '../record/matches.ts';
import type { RecordDocument } from '../record/document.ts';
import { fault, notice, ok, type Observation } from '../record/observe.ts';
import { readRecord } from '../record/read.ts';
import { verifyRecord } from '../record/verify.ts';
import { recordHtml } from '../report/record-sheet.ts';
import { inState, recordFolder, stateFolders } from '../store/layout.ts';
import type { Place } from './place.ts';
import { readRecordFiles, type RecordOnDisk } from './record-files.ts';
import { recordIn, recordNumbers } from './records.ts';
import { signersText } from './texts.ts';
import type { Looking } from './looking.ts';

/** One record of the state, as far as it could be read. */
export interface FoundRecord {
  readonly job: string;
  readonly number: number;
  /** `records/JOB/N` */
  readonly folder: string;
  readonly files?: RecordOnDisk;
  readonly document?: RecordDocument;
  /** The hash of the last journal line that it rests on. */
  readonly head?: string;
}

const foundRecord = (place: Place, job: string, number: number): FoundRecord => {
  const folder = recordFolder(job, number) ?? `${stateFolders.records}/${job}/${number}`;
  const path = inState(place.state, folder);
  const files = readRecordFiles(place.disk, path, `${path}/record.json`);
  if (!files.ok) return { job, number, folder };
  const read = readRecord(files.value.bytes);
  return {
    job,
    number,
    folder,
    files: files.value,
    ...(read.ok ? { document: read.value, head: read.value.journal.hash } : {}),
  };
};

/** Every record that lies in the state, by job and number. */
export const recordsFound = (place: Place): readonly FoundRecord[] =>
  place.disk
    .list(inState(place.state, stateFolders.records))
    .filter((name) => place.disk.look(inState(place.state, `${stateFolders.records}/${name}`))?.kind === 'folder')
    .flatMap((job) => recordNumbers(place.disk, place.state, job).map((number) => foundRecord(place, job, number)));

/** The record that the journal gives at the line on which this one rests, against what lies here. */
const againstJournal = (
  found: FoundRecord & { readonly document: RecordDocument },
  statesAt: ReadonlyMap<string, BuildState>,
  previous: string | undefined,
  hasSeveralWriters: boolean,
): Observation => {
  const where = `${found.folder}/record.json`;
  const { journal } = found.document;
  const state = statesAt.get(journal.hash);
  const job = state && jobOf(state, found.job);
  if (state === undefined || job === undefined)
    return fault('it rests on a journal line that is not here, or that could not be believed', where);
  const { writer, seq, hash } = journal;
  const against = (before: string | undefined) =>
    recordMatches(found.document, recordIn(state, job, { writer, seq, hash }, before));
  const difference = against(previous);
  // each machine writes the record of what it knew; of two of one number only one can stay
  const isOther = difference !== undefined && hasSeveralWriters;
  if (isOther && against(found.document.previous) === undefined)
    return notice(
      'as the journal gives it; the record before it was written on another machine, and another lies here',
      where,
    );
  return difference === undefined
    ? ok('as the journal gives it', where)
    : fault(
        `${difference.path} is ${difference.record ?? 'nothing'} here, and ${difference.journal ?? 'nothing'} by the journal`,
        where,
      );
};

/** What of the record itself matters in a whole state: what is wrong, and what a reader must know of it. */
const ownObservations = (looking: Looking, state: BuildState, found: FoundRecord): readonly Observation[] => {
  if (found.files === undefined) return [fault('record.json is missing or cannot be read', found.folder)];
  const { bytes, signature, answers, html } = found.files;
  const verified = verifyRecord({
    bytes,
    answers,
    signers: signersText(state, looking.read),
    ...(signature === undefined ? {} : { signature }),
  });
  const inFolder = (observation: Observation): Observation => ({
    ...observation,
    where: `${found.folder}/${observation.where}`,
  });
  const page = found.document && html !== recordHtml(found.document);
  return [
    ...verified.observations.filter(({ level }) => level !== 'notice').map(inFolder),
    ...(page
      ? [
          notice(
            'not the page that this dryfit makes of record.json; the signature covers record.json alone',
            `${found.folder}/record.html`,
          ),
        ]
      : []),
  ];
};

/** Every record of the state: signed, whole, and what the journal gives. */
export const verifyRecords = (
  looking: Looking,
  state: BuildState,
  records: readonly FoundRecord[],
  statesAt: ReadonlyMap<string, BuildState>,
): void => {
  const hashes = new Map<string, string>();
  for (const found of records) {
    looking.observations.push(...ownObservations(looking, state, found));
    const { document, files } = found;
    const previous = hashes.get(`${found.job}/${found.number - 1}`);
    if (document)
      looking.observations.push(
        againstJournal({ ...found, document }, statesAt, previous, Object.keys(state.written).length > 1),
      );
    if (files) hashes.set(`${found.job}/${found.number}`, sha256Hex(files.bytes));
  }
};
