import { basename, join } from 'node:path';
import { pageIn } from '../../aircraft/gates/plan.ts';
import type { PlannedPage } from '../../job/verb-spec.ts';
import { namesOf } from '../../procedure/ahead-report.ts';
import type { Procedure } from '../../procedure/model.ts';
import type { Facts } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { keep, keptPath, readKept } from '../../store/opening-files.ts';
import type { Workplace } from '../place.ts';
import { ending, isScript, yamlNames } from './folder-files.ts';
import { isCandidate, readProcedureFile, unreadProcedure } from './procedures.ts';

/*
 * What is known of each file of the procedures folder. Reading thousands of them takes seconds, so it is kept in the cache folder, and a
 * file that nobody has touched since is not read again, only looked at. `check` reads every file itself.
 */

/** What other procedures, the plan and its gates ask of a file. The rest is in the file. */
export interface KnownFile {
  readonly path: string;
  /** The file's name without `.yaml`. */
  readonly id: string;
  /** Of its bytes; '' where they could not be read. */
  readonly sha256: string;
  readonly isScript: boolean;
  /** Why it is passed over; absent where it holds a procedure that can be read. */
  readonly passedOver?: string;
  readonly page?: PlannedPage;
  readonly after: Procedure['after'];
  /** The features and areas that its steps name, each side written out. */
  readonly names: readonly string[];
}

type Place = Pick<Workplace, 'disk' | 'cache' | 'procedures' | 'program' | 'wall' | 'progress'>;

type Row = readonly [name: string, facts: string, file: Omit<KnownFile, 'path'>];

interface Kept {
  readonly program: string;
  readonly files: readonly Row[];
}

const factsText = ({ size, identity, changed }: Facts): string => `${size} ${identity} ${changed}`;

/** Ms. A file that was changed this shortly before it was read could be changed again without its time showing it. */
const settled = 2000;

/** When a file or its facts last changed, in ms since 1970; `NaN` where that cannot be known. */
const changedAt = ({ changed }: Facts): number => Math.max(...changed.split(':').map((ns) => Number(ns) / 1e6));

const isKept = (value: unknown): value is Kept =>
  typeof value === 'object' && value !== null && 'program' in value && 'files' in value && Array.isArray(value.files);

const pathOf = ({ cache, procedures }: Place): string => keptPath(cache, procedures, 'procedures');

const readRows = (place: Place): ReadonlyMap<string, Row> => {
  if (place.program === undefined) return new Map();
  try {
    const bytes = readKept(place.disk, pathOf(place));
    const kept: unknown = bytes && JSON.parse(bytes.toString('utf8'));
    return new Map(isKept(kept) && kept.program === place.program ? kept.files.map((row) => [row[0], row]) : []);
  } catch {
    return new Map(); // the cache is damaged or cannot be read, so every file is read
  }
};

/** Where that fails only time is lost. */
const keepRows = (place: Place, files: readonly Row[]): void => {
  if (place.program === undefined) return;
  try {
    keep(place.disk, pathOf(place), JSON.stringify({ program: place.program, files } satisfies Kept));
  } catch {
    // a cache folder that is full or closed costs time at the next command
  }
};

const readFile = (path: string, id: string): KnownFile => {
  const { bytes, sha256, procedure, messages } = readProcedureFile(path, true, false);
  const file = { path, id, sha256, isScript: isScript(bytes), after: procedure?.after ?? [] };
  if (procedure !== undefined) return { ...file, names: namesOf(procedure), page: pageIn(procedure, sha256) };
  return { ...file, names: [], passedOver: unreadProcedure(path, messages).what };
};

const factsOf = ({ disk }: Place, path: string): Facts | undefined => {
  const facts = onDisk(path, () => disk.look(path));
  return facts.ok && facts.value?.kind === 'file' ? facts.value : undefined;
};

/** Every regular `*.yaml` directly in the procedures folder, by name, scripts too. Throws where the folder itself cannot be read. */
export const knownFiles = (place: Place): readonly KnownFile[] => {
  const progress = place.progress?.('procedures');
  const known = readRows(place);
  const names = yamlNames(place.procedures);
  const rows: Row[] = [];
  let isNew = false;
  const files = names.flatMap((name, index): readonly KnownFile[] => {
    progress?.(index, names.length);
    const path = join(place.procedures, name);
    // A link is read each time: its own facts say nothing of the file that it leads to.
    const facts = factsOf(place, path);
    const row = known.get(name);
    if (facts !== undefined && row?.[1] === factsText(facts)) {
      rows.push(row);
      return [{ path, ...row[2] }];
    }
    if (facts === undefined && !isCandidate(path)) return [];
    const file = readFile(path, basename(name, ending));
    if (facts !== undefined && changedAt(facts) < place.wall() - settled) {
      const { path: _, ...rest } = file;
      rows.push([name, factsText(facts), rest]);
      isNew = true;
    }
    return [file];
  });
  progress?.(names.length, names.length);
  if (isNew) keepRows(place, rows);
  return files;
};
