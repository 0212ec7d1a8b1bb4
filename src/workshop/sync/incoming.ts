import { err, ok, wrong, refusalNamed, type Fault, type Outcome } from '../../fault/fault.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { onDisk } from '../../store/disk-fault.ts';
import type { Git } from '../../store/git/git.ts';
import { hashedLimits } from '../../store/hashed-file.ts';
import { inState } from '../../store/layout.ts';
import { readFile } from '../../store/read-file.ts';
import { recordFolderOf, stateFile, type StateFile } from '../../store/state-files.ts';
import { longer } from './journals.ts';
import { recordsToTake } from './records.ts';
import { largestStaged, stageIn, type Staged } from './staged.ts';
import { isOwnEntry, readContents, type Here, type StateTree, type TreeEntry } from './tree.ts';

/*
 * What a commit brings into a state. dryfit's own files come together by what they are: a journal is the longer of two of which one
 * begins with the other, what is named by its hash stays what it is, and nothing is taken away. Anything else is left to the person.
 */

export interface Incoming {
  readonly staged: Staged;
  /** Folders of our records that give way to theirs. */
  readonly replaced: readonly string[];
  /** Files of others that the other side has removed, and that this side had left as they were: they leave the repository. */
  readonly removed: readonly string[];
  readonly told: readonly string[];
}

const some = 6;
export const someOf = (paths: readonly string[]): string =>
  paths.length <= some ? paths.join(', ') : `${paths.slice(0, some).join(', ')} and ${paths.length - some} more`;

const limitOf = (file: StateFile): number => {
  if (file.kind === 'journal') return largestStaged;
  if (file.kind === 'hashed') return hashedLimits[file.folder];
  return file.kind === 'record' ? hashedLimits.attachments : hashedLimits.procedures;
};

const tooLarge = (path: string): Fault =>
  wrong(
    'incoming-large',
    'what the other side brings is too large for a file of this kind',
    'Look at it with git',
    path,
  );

/** What the other side has changed that is not dryfit's own. */
const strangers = (theirs: StateTree, base: StateTree, ours: StateTree): readonly string[] =>
  [...theirs].flatMap(([path, entry]) => {
    if (isOwnEntry(path, entry)) return [];
    const isSame = (other: TreeEntry | undefined): boolean => other?.id === entry.id && other.mode === entry.mode;
    return isSame(base.get(path)) || isSame(ours.get(path)) ? [] : [path];
  });

const strangerFault = (paths: readonly string[], from: string): Fault =>
  refusalNamed(
    'git-stranger',
    `${from} brings what is not a file of dryfit: ${someOf(paths)}`,
    'Nothing was taken. Look at it and bring it in yourself with git pull, or have it removed there; then sync again',
  );

const hereIs = ({ disk, state }: Here, path: string): Outcome<boolean> => {
  const facts = onDisk(path, () => disk.look(inState(state, path)));
  return facts.ok ? ok(facts.value !== undefined) : facts;
};

/** True where this side has the file, and theirs may still have more, or something newer. */
const mayBeMore = ({ tree, comparesAll }: Here, path: string, entry: TreeEntry, base: StateTree): boolean => {
  const [ours, before] = [tree.get(path)?.id, base.get(path)?.id];
  const kind = stateFile(path)?.kind;
  if (kind === 'journal') return comparesAll === true || ours !== entry.id;
  return kind === 'draft' && entry.id !== ours && ours === before;
};

/** The paths whose content has to be looked at, because this side lacks it or may have less. `records` are those to take. */
const wantedPaths = (
  here: Here,
  theirs: StateTree,
  base: StateTree,
  records: ReadonlySet<string>,
): Outcome<readonly string[]> => {
  const wanted: string[] = [];
  for (const [path, entry] of theirs) {
    const file = isOwnEntry(path, entry) ? stateFile(path) : undefined;
    if (file === undefined || file.kind === 'signers') continue;
    if (entry.size > limitOf(file)) return err(tooLarge(path));
    const there = file.kind === 'record' ? ok(!records.has(path)) : hereIs(here, path);
    if (!there.ok) return there;
    if (!there.value || mayBeMore(here, path, entry, base)) wanted.push(path);
  }
  return ok(wanted);
};

type Verdict = 'take' | 'leave' | 'damaged' | Fault;

const judgeJournal = (here: Here, path: string, content: Buffer, from: string): Outcome<Verdict> => {
  const { disk, state } = here;
  const there = hereIs(here, path);
  if (!there.ok || !there.value) return there.ok ? ok('take') : there;
  const bytes = readFile(disk, inState(state, path), { where: path, limit: largestStaged });
  if (!bytes.ok) return bytes;
  const which = longer(Buffer.from(bytes.value.buffer, bytes.value.byteOffset, bytes.value.length), content);
  if (which === 'ours') return ok('leave');
  if (which === 'theirs') return ok('take');
  return ok(
    wrong(
      'journal-rewritten',
      `line ${which.differsAt} is another one in ${from} than here: one of the two files was rewritten`,
      'Nothing was taken. Find out who changed it, and bring back the true file from a backup; then sync again',
      path,
    ),
  );
};

const judge = (here: Here, path: string, content: Buffer, from: string): Outcome<Verdict> => {
  const file = stateFile(path);
  if (file?.kind === 'journal') return judgeJournal(here, path, content, from);
  return ok(file?.kind === 'hashed' && sha256Hex(content) !== file.hash ? 'damaged' : 'take');
};

const journalsCut = (theirs: StateTree, base: StateTree): readonly string[] =>
  [...base].flatMap(([path, entry]) =>
    stateFile(path)?.kind === 'journal' && (theirs.get(path)?.size ?? entry.size) < entry.size ? [path] : [],
  );

const removedThere = (theirs: StateTree, base: StateTree): readonly string[] =>
  [...base.keys()].filter((path) => !theirs.has(path));

/** Reads the wanted files and lays aside those that are to be taken. */
const readAndJudge = (
  git: Git,
  here: Here,
  theirs: StateTree,
  paths: readonly string[],
  from: string,
): Outcome<{ readonly staged: Staged; readonly damaged: readonly string[] }> => {
  const wanted = new Map<string, { readonly entry: TreeEntry; readonly paths: string[] }>();
  for (const path of paths) {
    const entry = theirs.get(path);
    if (entry === undefined) continue;
    const one = wanted.get(entry.id) ?? { entry, paths: [] };
    one.paths.push(path);
    wanted.set(entry.id, one);
  }
  const stage = stageIn(git.scratch);
  const staged = new Map<string, string>();
  const damaged: string[] = [];
  const faults: Fault[] = [];
  const entries = [...wanted.values()].map(({ entry }) => entry);
  const read = readContents(git, entries, (id, content) => {
    for (const path of wanted.get(id)?.paths ?? []) {
      const verdict = judge(here, path, content, from);
      if (!verdict.ok) faults.push(verdict.fault);
      else if (verdict.value === 'take') staged.set(path, stage(content));
      else if (verdict.value === 'damaged') damaged.push(path);
      else if (verdict.value !== 'leave') faults.push(verdict.value);
    }
  });
  if (!read.ok) return read;
  const [fault] = faults;
  return fault === undefined ? ok({ staged, damaged }) : err(fault);
};

const isChangedInBoth = (path: string, ours: StateTree, theirs: StateTree, base: StateTree): boolean => {
  const [one, other, before] = [ours.get(path)?.id, theirs.get(path)?.id, base.get(path)?.id];
  return one !== undefined && other !== undefined && one !== other && one !== before && other !== before;
};

/**
 * What a commit brings that this side lacks. Nothing is written in the state.
 * @param base what both sides had in common. @param from how messages name the other side.
 * Codes: `git-stranger`, `journal-rewritten`, `incoming-large`.
 */
export const incomingFrom = (
  git: Git,
  here: Here,
  theirs: StateTree,
  base: StateTree,
  from: string,
): Outcome<Incoming> => {
  const odd = strangers(theirs, base, here.tree);
  if (odd.length > 0) return err(strangerFault(odd, from));
  const records = recordsToTake(here, theirs, base);
  if (!records.ok) return records;
  const wanted = wantedPaths(here, theirs, base, new Set(records.value.paths));
  if (!wanted.ok) return wanted;

  const read = readAndJudge(git, here, theirs, wanted.value, from);
  if (!read.ok) return read;
  const { staged, damaged } = read.value;
  const gone = removedThere(theirs, base);
  const ownGone = gone.filter((path) => stateFile(path) !== undefined);
  const removed = gone.filter(
    (path) => stateFile(path) === undefined && here.tree.get(path)?.id === base.get(path)?.id,
  );
  const cut = journalsCut(theirs, base);
  return ok({
    staged,
    replaced: records.value.replaced.map(([job, number]) => recordFolderOf(job, number)),
    removed,
    told: [
      ...records.value.told,
      ...(isChangedInBoth('build.yaml', here.tree, theirs, base)
        ? ['build.yaml was changed on both machines: yours stays as a draft; what was taken in elsewhere is in builds/']
        : []),
      ...(ownGone.length > 0 ? [`${from} has removed, and this side keeps: ${someOf(ownGone)}`] : []),
      ...cut.map((path) => `${path} has lost lines in ${from}: this side keeps them all`),
      ...(damaged.length > 0
        ? [`not taken, because its content is not the one that its name says: ${someOf(damaged)}`]
        : []),
      ...(removed.length > 0 ? [`no longer in the repository, and still in your folder: ${someOf(removed)}`] : []),
    ],
  });
};
