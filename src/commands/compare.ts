import { counted } from '../fault/counted.ts';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { JobImpact } from '../aircraft/impact.ts';
import { plainChange, type PlainChange } from '../procedure/compare/change.ts';
import { compareProcedures, type Comparison } from '../procedure/compare/compare.ts';
import type { Confirmed } from '../procedure/compare/renames.ts';
import { impactLines } from '../report/impact.ts';
import { changeLines, type TonedLine, toned, summaryText } from '../report/changes.ts';
import { kindAt } from '../workshop/procedures/folder-files.ts';
import {
  revisionInFile,
  revisionNamed,
  revisionsInFolder,
  revisionsInState,
  type Revision,
} from '../workshop/procedures/revisions.ts';
import { failed, notePassedOver } from './fail.ts';
import { fromHere, withoutLastSlash } from './folders.ts';
import { configurationOf, type Configuration } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

type Side = { readonly one: Revision } | { readonly folder: readonly Revision[] };

const atPath = (call: Call, typed: string): Outcome<Side> | undefined => {
  const path = fromHere(call.host.env, typed);
  const kind = kindAt(path);
  if (kind === undefined) return undefined;
  if (kind === 'other') return err(usage('not-a-file', `${typed} is no regular file`, 'name a file or a folder'));
  if (kind === 'file') {
    const one = revisionInFile(path, typed);
    return one.ok ? ok({ one: one.value }) : one;
  }
  const { revisions, passedOver } = revisionsInFolder(path, withoutLastSlash(typed));
  notePassedOver(call, passedOver);
  return revisions.length > 0
    ? ok({ folder: revisions })
    : err(usage('no-procedures', `${typed} holds no procedure`, 'name a folder with files *.yaml in it'));
};

/**
 * Both words of the command. A word that is not a path is a revision that the state knows; a revision alone is looked up for the procedure
 * on the other side.
 */
const sidesOf = (
  call: Call,
  { place }: Configuration,
  words: readonly [string, string],
): Outcome<readonly [Side, Side]> => {
  const paths = words.map((word) => atPath(call, word));
  const wrong = paths.find((side) => side?.ok === false);
  if (wrong?.ok === false) return wrong;
  const known = paths.includes(undefined) ? revisionsInState(place) : [];
  const sides: Side[] = [];
  for (const [index, word] of words.entries()) {
    const side = paths[index];
    const other = paths[1 - index];
    const of = other?.ok === true && 'one' in other.value ? other.value.one.procedure.procedure : undefined;
    const found = side ?? revisionNamed(known, word, of);
    if (!found.ok) return found;
    sides.push('procedure' in found.value ? { one: found.value } : found.value);
  }
  return ok([sides[0]!, sides[1]!]);
};

/** `--same OLD=NEW`: two ids that a person says are the same thing. */
const confirmedOf = (call: Call): Outcome<Confirmed> => {
  const pairs = call.texts('same').map((text) => text.split('='));
  const odd = call.texts('same').find((_, index) => pairs[index]?.length !== 2);
  return odd === undefined
    ? ok(Object.fromEntries(pairs as [string, string][]))
    : err(usage('value-unreadable', `--same ${odd} cannot be read`, 'write --same OLD=NEW, the two ids'));
};

interface Pair {
  readonly before: Revision;
  readonly now: Revision;
  readonly comparison: Comparison;
}

const pairOf = (before: Revision, now: Revision, renamed: Confirmed): Pair => ({
  before,
  now,
  comparison: compareProcedures(before.procedure, now.procedure, { renamed }),
});

const pairLines = ({ before, now, comparison }: Pair): readonly TonedLine[] => [
  [toned(summaryText(comparison, before.procedure, now.procedure), 'strong')],
  ...changeLines(comparison, before.procedure, now.procedure).map((line): TonedLine => [toned('  '), ...line]),
];

/** What the newer revision means for the jobs of this build. Empty where there is no state, or no job of it follows the procedure. */
const impactHere = async (call: Call, { now, comparison }: Pair, renamed: Confirmed): Promise<readonly JobImpact[]> => {
  const configuration = configurationOf(call);
  if (!configuration.ok || kindAt(configuration.value.place.state) !== 'folder' || !comparison.sameProcedure) return [];
  const { openWorkshop } = await import('../workshop/workshop.ts');
  const { impactOf } = await import('../aircraft/impact.ts');
  const workshop = openWorkshop(configuration.value.place, 'read');
  if (!workshop.ok) {
    call.print.note(`note: the state is left out: ${workshop.fault.what}`);
    return [];
  }
  try {
    const jobs = impactOf(workshop.value.state(), now.procedure, now.sha256, renamed);
    return jobs.some(({ job }) => job !== undefined) ? jobs : [];
  } finally {
    workshop.value.close();
  }
};

const printPair = async (call: Call, pair: Pair, renamed: Confirmed): Promise<number> => {
  const jobs = await impactHere(call, pair, renamed);
  if (call.flag('json'))
    call.print.json({ changes: pair.comparison.changes.map(plainChange), ...(jobs.length > 0 ? { jobs } : {}) });
  else call.print.painted(...pairLines(pair), ...impactLines(jobs));
  return 0;
};

interface Folders {
  readonly pairs: readonly Pair[];
  readonly added: readonly Revision[];
  readonly removed: readonly Revision[];
}

const idOf = ({ procedure }: Revision): string => procedure.procedure;

const foldersOf = (before: readonly Revision[], now: readonly Revision[], renamed: Confirmed): Folders => {
  const [old, next] = [new Map(before.map((one) => [idOf(one), one])), new Map(now.map((one) => [idOf(one), one]))];
  return {
    pairs: now.flatMap((one) => {
      const was = old.get(idOf(one));
      return was === undefined ? [] : [pairOf(was, one, renamed)];
    }),
    added: now.filter((one) => !old.has(idOf(one))),
    removed: before.filter((one) => !next.has(idOf(one))),
  };
};

type InFolder = PlainChange & { readonly procedure: string };

const folderChanges = ({ pairs, added, removed }: Folders): readonly InFolder[] => [
  ...removed.map((one): InFolder => ({
    procedure: idOf(one),
    step: '',
    kind: 'removed',
    what: 'procedure',
    old: one.procedure.title,
  })),
  ...added.map((one): InFolder => ({
    procedure: idOf(one),
    step: '',
    kind: 'added',
    what: 'procedure',
    new: one.procedure.title,
  })),
  ...pairs.flatMap(({ now, comparison }) =>
    comparison.changes.map((change) => ({ procedure: idOf(now), ...plainChange(change) })),
  ),
];

const printFolders = (call: Call, folders: Folders): number => {
  if (call.flag('json')) {
    call.print.json({ changes: folderChanges(folders) });
    return 0;
  }
  const changed = folders.pairs.filter(({ comparison }) => comparison.changes.length > 0);
  call.print.painted(
    [
      toned(
        `${counted(folders.pairs.length, 'procedure')} in both, ${changed.length} changed; ${folders.added.length} added, ${folders.removed.length} removed`,
        'strong',
      ),
    ],
    ...folders.removed.map((one): TonedLine => [
      toned('removed', 'gone'),
      toned(`  ${idOf(one)}  ${one.procedure.title}`),
    ]),
    ...folders.added.map((one): TonedLine => [toned('added', 'come'), toned(`  ${idOf(one)}  ${one.procedure.title}`)]),
    ...changed.flatMap(pairLines),
  );
  return 0;
};

const tooFew: Fault = usage(
  'word-missing',
  'two things to compare are wanted',
  'write: dryfit compare OLD NEW, each a file, a folder, or a revision that the state knows',
);

const run = (call: Call): number | Promise<number> => {
  const [old, now, extra] = call.words;
  if (old === undefined || now === undefined) return failed(call, tooFew);
  if (extra !== undefined)
    return failed(call, usage('word-extra', `'${extra}' has no place`, 'write: dryfit compare OLD NEW'));
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const confirmed = confirmedOf(call);
  if (!confirmed.ok) return failed(call, confirmed.fault);
  const sides = sidesOf(call, configuration.value, [old, now]);
  if (!sides.ok) return failed(call, sides.fault);
  const [a, b] = sides.value;
  if ('one' in a && 'one' in b) return printPair(call, pairOf(a.one, b.one, confirmed.value), confirmed.value);
  if ('folder' in a && 'folder' in b) return printFolders(call, foldersOf(a.folder, b.folder, confirmed.value));
  return failed(
    call,
    usage('kinds-differ', 'one is a folder of procedures, the other a single one', 'name two of the same'),
  );
};

export const compareCommand: CommandSpec = {
  name: 'compare',
  about: 'what a new revision changes, and what that means for this build',
  usage: ['dryfit compare OLD NEW'],
  options: {
    same: { type: 'string', multiple: true, value: 'OLD=NEW', about: 'these two ids are the same thing' },
  },
  more: [
    'OLD and NEW are files, folders, or revisions that the state knows: PROCEDURE@REVISION, or REVISION alone where only one can be meant.',
    'Where the state has jobs of the procedure, what the new one means for each is told from its records.',
    'Steps are matched by id; another id for much the same step is proposed as a new name. Differences exit 0.',
  ],
  run,
};
