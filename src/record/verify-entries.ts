import { isJsonObject, type Json } from '../proof/canonical.ts';
import type { RecordDocument } from './document.ts';
import { foundWrong, passed, type Observation } from './observe.ts';

type RecordEntry = RecordDocument['journal']['entries'][number];

interface Stamped {
  readonly path: string;
  readonly entry: string;
  readonly by: string;
  readonly at: string;
  readonly when?: string;
}

const isStamp = (value: object): value is Omit<Stamped, 'path'> => 'entry' in value && 'by' in value && 'at' in value;

/** Every act in a part of a record, at any depth, with its path. */
const stampsIn = (value: Json | undefined, path: string): readonly Stamped[] => {
  if (Array.isArray(value)) return value.flatMap((item: Json, index) => stampsIn(item, `${path}[${index + 1}]`));
  if (value === undefined || value === null || !isJsonObject(value)) return [];
  const inside = Object.entries(value).flatMap(([key, item]) => stampsIn(item, path === '' ? key : `${path}.${key}`));
  return isStamp(value) ? [{ ...value, path }, ...inside] : inside;
};

const place = (entry: string): readonly [writer: string, seq: number] => {
  const colon = entry.lastIndexOf(':');
  return [entry.slice(0, colon), Number(entry.slice(colon + 1))];
};

/** Each writer's lines are listed once, in rising order, and none is later than the head. */
const orderFaults = ({ journal }: RecordDocument): readonly Observation[] => {
  const last = new Map<string, number>();
  return journal.entries.flatMap(({ entry }, index) => {
    const [writer, seq] = place(entry);
    const where = `journal.entries[${index + 1}]`;
    const before = last.get(writer) ?? 0;
    last.set(writer, seq);
    if (seq <= before) return [foundWrong(`${entry} stands after ${writer}:${before}`, where)];
    if (writer === journal.writer && seq > journal.seq)
      return [foundWrong(`${entry} is later than the head of the journal, ${writer}:${journal.seq}`, where)];
    return [];
  });
};

const headFaults = ({ journal }: RecordDocument): readonly Observation[] =>
  journal.entries
    .filter(({ entry, hash }) => entry === `${journal.writer}:${journal.seq}` && hash !== journal.hash)
    .map(({ entry }) => foundWrong(`the head of the journal and ${entry} have different hashes`, 'journal.hash'));

const stampFault = (stamped: Stamped, entries: ReadonlyMap<string, RecordEntry>): readonly Observation[] => {
  const entry = entries.get(stamped.entry);
  if (!entry) return [foundWrong(`rests on ${stamped.entry}, which is not among the entries`, stamped.path)];
  const same = entry.by === stamped.by && entry.at === stamped.at && entry.when === stamped.when;
  return same ? [] : [foundWrong(`differs from ${stamped.entry} in its person or time`, stamped.path)];
};

/** Every act in the record names an entry of the journal by the same person at the same time. */
export const verifyEntries = (document: RecordDocument): readonly Observation[] => {
  const entries = new Map(document.journal.entries.map((entry) => [entry.entry, entry]));
  const { journal: _, ...rest } = document;
  const stamps = stampsIn(rest, '');
  const faults = [
    ...orderFaults(document),
    ...headFaults(document),
    ...stamps.flatMap((stamped) => stampFault(stamped, entries)),
  ];
  return faults.length > 0
    ? faults
    : [passed(`${stamps.length} acts rest on ${entries.size} entries of the journal`, 'journal.entries')];
};
