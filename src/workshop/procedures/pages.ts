import { statSync } from 'node:fs';
import { jobOf, jobsOf, type BuildState } from '../../aircraft/state.ts';
import { currentStep, isWithdrawn } from '../../job/where.ts';
import type { PlannedPage } from '../../job/verb-spec.ts';
import type { Verb } from '../../job/verbs.ts';
import { commitsOf } from '../../procedure/ahead.ts';
import { onDisk } from '../../store/disk-fault.ts';
import type { Intent } from '../intent.ts';
import type { OpenState } from '../open-state.ts';
import { knownFiles, type KnownFile } from './known-files.ts';

const isFolder = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;

/**
 * The page of a file; none for a script and for what cannot be read. A page with a fault stays planned with what was known of it, so that a
 * slip of the pen takes nothing out of the plan.
 */
const pageOfFile = (file: KnownFile, before: PlannedPage | undefined): readonly PlannedPage[] => {
  const { id, sha256, isScript, page } = file;
  if (isScript || sha256 === '') return [];
  if (before?.sha256 === sha256) return [before];
  return [page ?? { each: [], gates: [], ...before, procedure: id, sha256 }];
};

const isJobBegun = (state: BuildState, procedure: string): boolean =>
  jobsOf(state).some((job) => job.procedure === procedure && !isWithdrawn(job));

/**
 * What a procedures folder holds, for a `build` entry; `undefined` where there is no such folder. A page that is gone stays planned as long
 * as a job of it is begun.
 */
export const pagesIn = (openState: Pick<OpenState, 'place' | 'state' | 'folder'>): readonly PlannedPage[] | undefined => {
  const { place, state } = openState;
  const { procedures } = place;
  const known = new Map(state.pages.map((page) => [page.procedure, page]));
  const read = onDisk(procedures, () =>
    isFolder(procedures) ? knownFiles(place) : undefined,
  );
  if (!read.ok || read.value === undefined) return undefined;
  openState.folder = read.value;
  const pages = read.value.flatMap((file) => pageOfFile(file, known.get(file.id)));
  const held = new Set(pages.map(({ procedure }) => procedure));
  const gone = state.pages.filter(({ procedure }) => !held.has(procedure) && isJobBegun(state, procedure));
  return [...pages, ...gone];
};

/** Verbs that ask which procedures are planned, whatever their job. */
const asking: readonly Verb[] = ['start', 'depart', 'loose', 'skip', 'resolve', 'withdraw'];

/** True for an act that a gate may decide, so that the folder must be looked at before it. */
export const asksForPlan = (state: BuildState, { verb, job }: Pick<Intent, 'verb' | 'job'>): boolean => {
  if (asking.includes(verb)) return true;
  const own = jobOf(state, job);
  const step = own && currentStep(own);
  return own !== undefined && step !== undefined && [step, ...commitsOf(own.plan, step)].some(({ gate }) => gate !== undefined);
};

const names = (pages: readonly PlannedPage[]): string => pages.map(({ procedure }) => procedure).join(', ');

/** What changed among the pages, for the person whose entry takes it in. */
export const pagesTold = (before: readonly PlannedPage[], { pages, file }: Pick<BuildState, 'pages' | 'file'>): readonly string[] => {
  if (before.length === 0) return [];
  const old = new Map(before.map((page) => [page.procedure, page]));
  const added = pages.filter(({ procedure }) => !old.has(procedure));
  const changed = pages.filter(({ procedure, sha256 }) => old.has(procedure) && old.get(procedure)?.sha256 !== sha256);
  const now = new Set(pages.map(({ procedure }) => procedure));
  const gone = before.filter(({ procedure }) => !now.has(procedure));
  const last = file.gates.at(-1);
  const unplanned = added.filter(({ procedure }) => file.plan?.every((line) => line.procedure !== procedure) === true);
  const planned = added.filter((page) => !unplanned.includes(page));
  return [
    ...(planned.length > 0
      ? [`new in the procedures folder: ${names(planned)}${last === undefined ? '' : `; planned before ${last}`}`]
      : []),
    ...(unplanned.length > 0
      ? [`new in the procedures folder: ${names(unplanned)}; the plan in build.yaml does not name it`]
      : []),
    ...(changed.length > 0 ? [`changed in the procedures folder: ${names(changed)}`] : []),
    ...(gone.length > 0 ? [`gone from the procedures folder, and no longer planned: ${names(gone)}`] : []),
  ];
};
