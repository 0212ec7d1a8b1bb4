import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import type { JobState } from '../../job/state.ts';
import type { Workplace } from '../place.ts';
import { faultyFile, procedureFiles, type ProcedureFile } from './procedures.ts';
import { kindAt } from './folder-files.ts';
import { isRevision, revisionsInState, type Revision } from './revisions.ts';

const asRevision = (file: ProcedureFile): Revision | undefined =>
  file.procedure === undefined
    ? undefined
    : { procedure: file.procedure, sha256: file.sha256, bytes: file.bytes, found: file.path };

const unknownRevision = (job: JobState, word: string | undefined, known: readonly Revision[]): Fault => {
  const there = [...new Set(known.map(({ procedure }) => procedure.revision))];
  return usage(
    'revision-unknown',
    word === undefined
      ? `no other revision of ${job.procedure} lies among the procedures`
      : `there is no revision ${word} of ${job.procedure} among the procedures, nor in the state`,
    there.length === 0 ? 'name their folder with --procedures DIR' : `there are: ${there.join(', ')}`,
  );
};

/** The files of the folder, the one named after the procedure first. */
const inFolder = ({ procedures }: Workplace, id: string): readonly ProcedureFile[] =>
  kindAt(procedures) === 'folder'
    ? procedureFiles(procedures).toSorted((a, b) => Number(b.id === id) - Number(a.id === id))
    : [];

/**
 * The text that `move` or `resolve` names: the procedure that answers the bulletin `change`; else the revision `mark` of the
 * job's own procedure, from the folder of procedures or from the state. Without a mark it is the revision in the folder.
 * Faults: `revision-unknown` (usage), `procedure-faulty` (refused).
 */
export const revisionFor = (
  place: Workplace,
  job: JobState,
  mark: string | undefined,
  change: string | undefined,
): Outcome<Revision> => {
  const files = inFolder(place, job.procedure);
  const lying = files.flatMap((file) => asRevision(file) ?? []);
  const bulletin = lying.find(({ procedure }) => change !== undefined && procedure.answers?.bulletin === change);
  if (bulletin !== undefined) return ok(bulletin);
  const own = lying.filter(({ procedure }) => procedure.procedure === job.procedure);
  const known = [...own, ...revisionsInState(place).filter(({ procedure }) => procedure.procedure === job.procedure)];
  const followed = known.find(({ sha256 }) => sha256 === job.sha256);
  const found =
    mark === undefined
      ? (own.find(({ sha256 }) => sha256 !== job.sha256) ?? (job.moves.length > 0 ? followed : undefined))
      : (known.find(({ procedure, sha256 }) => procedure.revision === mark && sha256 !== job.sha256) ??
        known.find(({ procedure }) => isRevision(procedure, mark)));
  if (found !== undefined) return ok(found);
  const faulty = files.find(({ id, procedure }) => id === job.procedure && procedure === undefined);
  return err(faulty === undefined ? unknownRevision(job, mark, known) : faultyFile(faulty));
};
