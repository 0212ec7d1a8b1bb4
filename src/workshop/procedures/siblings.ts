import { err, ok, type Outcome } from '../../fault/fault.ts';
import { namesAsked, reportAhead, type StepAhead } from '../../procedure/ahead-report.ts';
import type { Procedure } from '../../procedure/model.ts';
import { orderOf } from '../../procedure/order.ts';
import { onDisk } from '../../store/disk-fault.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';
import { knownFiles, type KnownFile } from './known-files.ts';
import { procedureNamed, readProcedureFile } from './procedures.ts';

/** A file of the procedures folder that cannot be read, with the reason. */
export interface PassedOver {
  readonly file: string;
  readonly what: string;
}

const passedOverOf = (files: readonly KnownFile[]): readonly PassedOver[] =>
  files.flatMap(({ path, isScript, passedOver }) =>
    isScript || passedOver === undefined ? [] : [{ file: path, what: passedOver }],
  );

/**
 * The files of the procedures folder that cannot be read, as the last entry found it where it looked at the folder. None where the folder
 * itself cannot be read.
 */
export const passedOverIn = ({ place, folder }: Pick<OpenState, 'place' | 'folder'>): readonly PassedOver[] => {
  const files = folder === undefined ? onDisk(place.procedures, () => knownFiles(place)) : ok(folder);
  return files.ok ? passedOverOf(files.value) : [];
};

const readAgain = ({ path }: KnownFile): Procedure | undefined => readProcedureFile(path, true, false).procedure;

/** The procedure that is asked about. Faults in it are for `check` to report; it need only be readable. */
const ownOf = (folder: string, id: string, files: readonly KnownFile[]): Outcome<Procedure> => {
  const file = files.find((one) => one.id === id && one.page !== undefined);
  const own = file && readAgain(file);
  if (own !== undefined) return ok(own);
  const named = procedureNamed(folder, id);
  return named.ok ? ok(named.value.procedure) : named;
};

export interface AskedStep {
  readonly procedure: string;
  readonly step: string;
  /** Absent: every side. */
  readonly side: string | undefined;
}

export interface FolderAhead {
  readonly steps: readonly StepAhead[];
  readonly passedOver: readonly PassedOver[];
}

/**
 * What a step commits everybody to, across the procedures folder. Only the files that name a feature or an area of the step are read.
 * Faults: those of `procedureNamed` and `reportAhead`.
 */
export const aheadInFolder = (
  place: Workplace,
  { procedure: id, step, side }: AskedStep,
): Outcome<FolderAhead> => {
  const read = onDisk(place.procedures, () => knownFiles(place));
  // A missing folder is reported below, where the procedure is looked up.
  const files = read.ok ? read.value : [];
  const own = ownOf(place.procedures, id, files);
  if (!own.ok) return own;
  const asked = namesAsked(own.value, step);
  const concerned = files.filter((file) => file.id !== id && file.names.some((name) => asked.has(name)));
  const order = orderOf(files.map((file) => ({ procedure: file.id, after: file.after })));
  const folder = [own.value, ...concerned.flatMap((file) => readAgain(file) ?? [])].toSorted(byId);
  const steps = reportAhead(own.value, step, folder, side, order);
  return steps.ok ? ok({ steps: steps.value, passedOver: passedOverOf(files) }) : err(steps.fault);
};

const byId = (a: Procedure, b: Procedure): number =>
  Number(a.procedure > b.procedure) - Number(a.procedure < b.procedure);
