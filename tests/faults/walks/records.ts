import { jobOf, type BuildState } from '../../../src/aircraft/state.ts';
import type { Entry } from '../../../src/job/entry.ts';
import { sha256Hex } from '../../../src/proof/hash.ts';
import { namespaces } from '../../../src/proof/sshsig.ts';
import type { RecordDocument } from '../../../src/record/document.ts';
import { holdFilesOf } from '../../../src/record/hold-files.ts';
import { recordMatches } from '../../../src/record/matches.ts';
import { readRecord } from '../../../src/record/read.ts';
import { recordText } from '../../../src/record/record.ts';
import { verifyRecord } from '../../../src/record/verify.ts';
import { publicKeyReader } from '../../../src/workshop/journal/public-keys.ts';
import { signersText } from '../../../src/workshop/journal/signers-text.ts';
import { recordIn } from '../../../src/workshop/records/record-in.ts';
import { signerOf } from './keys.ts';

/* The law for records: one that a completion leaves verifies, and says what the journal says. */

const read = publicKeyReader();

const headOf = (entry: Entry) => ({ writer: 'walk', seq: Number(entry.id.split(':')[1]), hash: entry.hash });

/** Every value that a record says, by the entry that entered it. */
const valuesIn = ({
  steps,
}: RecordDocument): ReadonlyMap<string, { readonly value: string; readonly by: string; readonly at: string }> =>
  new Map(
    steps.flatMap(({ readings = [] }) =>
      readings.flatMap(({ entered }) => entered.map(({ entry, value, by, at }) => [entry, { value, by, at }] as const)),
    ),
  );

/** What the lines of the journal say, found again in the record. */
const saidByJournal = (document: RecordDocument, entries: readonly Entry[], job: string): readonly string[] => {
  const own = entries.filter((entry) => entry.job === job);
  const listed = new Map(document.journal.entries.map((one) => [one.hash, one]));
  const values = valuesIn(document);
  const right = new Map<string, string>();
  for (const entry of own)
    if (entry.type === 'correct') {
      const { value } = entry.data;
      const is = typeof value === 'string' ? value : value['value'];
      if (typeof is === 'string') right.set(entry.data.entry, is);
    }
  return own.flatMap((entry) => {
    const line = listed.get(entry.hash);
    const told = entry.type === 'read' ? values.get(entry.id) : undefined;
    return [
      ...(line?.by === entry.by && line.at === entry.at && line.type === entry.type
        ? []
        : [`it does not list ${entry.id}`]),
      ...(entry.type !== 'read' || told === undefined || told.value === (right.get(entry.id) ?? entry.data.value)
        ? []
        : [`${entry.id} says ${entry.data.value}, and the record ${told.value}`]),
      ...(entry.type === 'read' && told === undefined ? [`the value of ${entry.id} is not in it`] : []),
      ...(entry.type === 'refuse' && !entry.data.findings.every((text) => JSON.stringify(document.steps).includes(text))
        ? [`a finding of ${entry.id} is not in it`]
        : []),
    ];
  });
};

export interface Recorded {
  readonly job: string;
  readonly entry: Entry;
  readonly document: RecordDocument;
}

/** Makes the record of a job that was just completed, signs it and verifies it as a stranger would. */
export const recordLaw = (
  state: BuildState,
  entry: Entry,
  entries: readonly Entry[],
): { readonly recorded?: Recorded; readonly broken: readonly string[] } => {
  const job = jobOf(state, entry.job);
  if (!job) return { broken: [`${entry.job} is complete and gone`] };
  const document = recordIn(state, job, headOf(entry), undefined, entry.by);
  const bytes = Buffer.from(recordText(document));
  const signature = signerOf(entry.by).signArmored(namespaces.record, bytes);
  const answers = new Map(
    holdFilesOf(job).map(({ file, text, signature: sig }) => [file, { bytes: Buffer.from(text), signature: sig }]),
  );
  const { observations, sha256 } = verifyRecord({
    bytes,
    answers,
    signers: signersText(state, read),
    ...(signature.ok ? { signature: signature.value } : {}),
  });
  const back = readRecord(bytes);
  const faults = [
    ...observations.filter(({ level }) => level === 'fault').map(({ what, where }) => `${where}: ${what}`),
    ...(sha256 === sha256Hex(bytes) && back.ok && recordMatches(back.value, document) === undefined
      ? []
      : ['it is read as another']),
    ...saidByJournal(document, entries, entry.job),
  ];
  return {
    recorded: { job: entry.job, entry, document },
    broken: faults.map((one) => `the record of ${entry.job} at ${entry.id}: ${one}`),
  };
};

/** The record of the same completion, made from another fold of the same journal. */
export const sameRecord = (state: BuildState, { job: id, entry, document }: Recorded): readonly string[] => {
  const job = jobOf(state, id);
  const other = job && recordMatches(document, recordIn(state, job, headOf(entry), undefined, entry.by));
  if (!job) return [`${id} is not in the other fold`];
  return other === undefined ? [] : [`the record of ${id} from a snapshot differs at ${other.path}`];
};
