import { err, ok, usage, wrong, type Outcome } from '../../fault/fault.ts';
import { readBytes } from '../../procedure/load.ts';
import { printMessage } from '../../procedure/message.ts';
import type { Procedure } from '../../procedure/model.ts';
import { tooLarge } from '../../procedure/yaml/bytes.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { hashedLimits } from '../../store/hashed-file.ts';
import { inState, stateFolders } from '../../store/layout.ts';
import { readFile } from '../../store/read-file.ts';
import type { Workplace } from '../place.ts';
import { boundedBytes } from './folder-files.ts';
import { procedureFiles, unreadProcedure } from './procedures.ts';

/** The text of one revision, and where it was found. */
export interface Revision {
  readonly procedure: Procedure;
  readonly sha256: string;
  readonly bytes: Uint8Array;
  /** The path as typed or the path in the state, for the person to read. */
  readonly found: string;
}

/** Reads without the rules of the trade: texts that jobs follow, and texts still being written, can be compared too. */
const read = (bytes: Uint8Array, found: string): Outcome<Revision> => {
  const { procedure, messages } = readBytes(bytes, found, { checks: false });
  if (procedure !== undefined) return ok({ procedure, bytes, sha256: sha256Hex(bytes), found });
  const { what, todo } = unreadProcedure(found, messages);
  return err(wrong('procedure-faulty', what, todo));
};

/** The revision in one file. */
export const revisionInFile = (path: string, typed: string): Outcome<Revision> => {
  const bytes = boundedBytes(path);
  return typeof bytes === 'number'
    ? err(wrong('too-large', printMessage(tooLarge(typed, bytes)), 'name the right file'))
    : read(bytes, typed);
};

/** Every procedure of a folder that can be read, by its id, and what is wrong with the others. */
export const revisionsInFolder = (
  path: string,
  typed: string,
): { readonly revisions: readonly Revision[]; readonly passedOver: readonly string[] } => {
  const found = procedureFiles(path).map((file) => read(file.bytes, `${typed}/${file.id}.yaml`));
  return {
    revisions: found.flatMap((one) => (one.ok ? [one.value] : [])),
    passedOver: found.flatMap((one) => (one.ok ? [] : [one.fault.what])),
  };
};

/** The texts that jobs of this state follow or followed. A text that cannot be read is skipped. */
export const revisionsInState = ({ disk, state }: Pick<Workplace, 'disk' | 'state'>): readonly Revision[] =>
  disk.list(inState(state, stateFolders.procedures)).flatMap((name) => {
    const where = `${stateFolders.procedures}/${name}`;
    const bytes = readFile(disk, inState(state, where), { where, limit: hashedLimits.procedures });
    const revision = bytes.ok && name.endsWith('.yaml') ? read(bytes.value, where) : undefined;
    return revision?.ok === true ? [revision.value] : [];
  });

/** True where a word is the revision of the procedure, or of the manual that it was written from. */
export const isRevision = ({ revision, manual }: Procedure, word: string): boolean =>
  revision === word || manual?.revision === word;

/** The revision that a word names: `keel-scarf-bond@B`, the beginning of a text's hash, or a bare `B` of the procedure `of`. */
export const revisionNamed = (known: readonly Revision[], word: string, of: string | undefined): Outcome<Revision> => {
  const [id, mark] = word.includes('@') ? word.split('@', 2) : [of, word];
  const isHash = /^[0-9a-f]{6,64}$/.test(word);
  const named = known.filter(
    ({ procedure, sha256 }) =>
      (isHash && sha256.startsWith(word)) ||
      ((id === undefined || procedure.procedure === id) && isRevision(procedure, mark ?? '')),
  );
  const exact = named.filter(({ procedure }) => procedure.revision === mark);
  const [first, second] = exact.length > 0 ? exact : named;
  const all = known.map(({ procedure }) => `${procedure.procedure}@${procedure.revision}`).toSorted();
  if (first === undefined)
    return err(
      usage(
        'revision-unknown',
        `there is no file, folder or known revision '${word}'`,
        all.length === 0 ? 'name two files or two folders' : `name a file or a folder, or one of: ${all.join(', ')}`,
      ),
    );
  if (second !== undefined)
    return err(
      usage(
        'revision-ambiguous',
        `'${word}' may be several texts`,
        `write one of: ${named.map(({ procedure, sha256 }) => `${procedure.procedure}@${procedure.revision} (${sha256.slice(0, 12)})`).join(', ')}`,
      ),
    );
  return ok(first);
};
