import { basename, dirname, join } from 'node:path';
import { counted } from '../fault/counted.ts';
import { asUsage, err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { Observation, OpenKind } from '../record/observe.ts';
import { verifyRecord } from '../record/verify.ts';
import type { Disk } from '../store/disk.ts';
import { stateFiles } from '../store/layout.ts';
import { readText } from '../store/read-file.ts';
import { enclosingState, hasJournal, journalGone, realPath } from '../store/state-folder.ts';
import type { Workplace } from '../workshop/place.ts';
import { readRecordFiles } from '../workshop/records/record-files.ts';
import { pageObservations } from '../workshop/verify/page.ts';
import type { Cover } from '../workshop/verify/coverage.ts';
import { verifyState } from '../workshop/verify/verify-state.ts';
import { failed } from './fail.ts';
import { fromHere } from './folders.ts';
import { configurationOf, type Configuration } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

const largestSigners = 1024 * 1024;

/** What was verified, and the result. Places are named as the person would find them. */
interface Verified {
  readonly what: 'state' | 'record';
  readonly path: string;
  readonly observations: readonly Observation[];
  /** Of a state: how many entries its journal has. */
  readonly entries?: number;
  /** Of a state: whose signatures rest on which entries. */
  readonly coverage?: readonly Cover[];
}

/** The file `allowed_signers` beside the record, else in the nearest folder above it. */
const signersNear = (disk: Disk, folder: string): string | undefined => {
  for (let at = folder; ; at = dirname(at)) {
    const path = join(at, stateFiles.allowedSigners);
    if (disk.look(path)?.kind === 'file') return path;
    if (dirname(at) === at) return undefined;
  }
};

const signersFor = (call: Call, disk: Disk, folder: string): Outcome<string> => {
  const pinned = call.text('signers');
  const path = pinned === undefined ? signersNear(disk, folder) : fromHere(call.host.env, pinned);
  if (path === undefined)
    return err(
      usage(
        'signers-missing',
        'no allowed_signers lies beside this record, nor above it',
        'name the file with --signers FILE, from somebody you trust',
      ),
    );
  return asUsage(readText(disk, path, { where: pinned ?? path, limit: largestSigners, links: 'follow' }));
};

const verifyOneRecord = (call: Call, { disk }: Workplace, typed: string, file: string): Outcome<Verified> => {
  const folder = dirname(file);
  const files = readRecordFiles(disk, folder, file);
  if (!files.ok) return files;
  const signers = signersFor(call, disk, folder);
  if (!signers.ok) return signers;
  const { bytes, signature, answers, page } = files.value;
  const { observations, document } = verifyRecord({
    bytes,
    answers,
    page,
    signers: signers.value,
    ...(signature === undefined ? {} : { signature }),
  });
  return ok({ what: 'record', path: typed, observations: [...observations, ...pageObservations(page, document)] });
};

const nothingAt = (typed: string, todo = 'name a state, a record folder or its record.json'): Fault =>
  usage('path-unknown', `there is nothing at ${typed}`, todo);

/** What a folder without a journal and without a record may be part of, for a person who named the wrong folder. */
const nearby = (disk: Disk, path: string): string => {
  const outer = enclosingState(disk, path);
  return outer === undefined
    ? 'name a state, a record folder or its record.json'
    : `it is inside the state ${outer}: name that, or one of its records (records/JOB/NUMBER)`;
};

const verifyStateAt = (place: Workplace, path: string, typed: string): Outcome<Verified> => {
  const isState = hasJournal(place.disk, path) || journalGone(place.disk, path) !== undefined;
  return isState
    ? ok({ what: 'state', path: typed, ...verifyState({ ...place, state: path }) })
    : err(
        usage(
          'path-unknown',
          `neither a state nor a record is at ${typed}: it has no journal and no record.json`,
          nearby(place.disk, path),
        ),
      );
};

/** Without a path: the state that every command would use, which must be there. */
const verifyChosen = ({ place, chosen }: Configuration): Outcome<Verified> => {
  const isThere = place.disk.look(place.state) !== undefined;
  if (isThere) return verifyStateAt(place, place.state, place.state);
  return err(
    chosen === 'named'
      ? nothingAt(place.state, 'name the state folder: --state DIR')
      : usage('path-unknown', 'no state is here, nor in a folder above', 'name it: dryfit verify DIR'),
  );
};

/** Verifies the path that was named: a record (its folder, or its record.json) or a state. Without a path, the state. */
const verifyPath = (call: Call, configuration: Configuration): Outcome<Verified> => {
  const { place } = configuration;
  const [typed] = call.words;
  if (typed === undefined) return verifyChosen(configuration);
  if (typed === '') return err(usage('path-unknown', 'the path is an empty text', 'name a state or a record'));
  const path = fromHere(call.host.env, typed);
  const found = place.disk.look(realPath(place.disk, path));
  if (found === undefined) return err(nothingAt(typed));
  if (found.kind === 'file') return verifyOneRecord(call, place, typed, path);
  const inside = join(path, 'record.json');
  return place.disk.look(inside) === undefined
    ? verifyStateAt(place, path, typed)
    : verifyOneRecord(call, place, typed, inside);
};

const marks: Readonly<Record<Observation['level'], string>> = { ok: 'good', notice: 'note', fault: 'wrong' };

const lineOf = ({ level, open, where, what }: Observation): string =>
  `${open === undefined ? marks[level] : 'open'}: ${where}: ${what}`;

/** What is open, in words. */
const openWords: Readonly<Record<OpenKind, (count: number) => string>> = {
  conflict: (count) => `${counted(count, 'conflict')} not settled`,
  missing: (count) => `${counted(count, 'entry', 'entries')} missing`,
  record: (count) => `${counted(count, 'record')} owed`,
  torn: (count) => `${counted(count, 'torn line')} not set aside`,
  job: () => 'the job is not complete',
  nonconformance: (count) => `${counted(count, 'nonconformance')} open`,
  loose: (count) => `${counted(count, 'loose item')} open`,
  sample: (count) => `${counted(count, 'sample')} not yet broken`,
};

type OpenCounts = Readonly<Partial<Record<OpenKind, number>>>;

const openIn = (observations: readonly Observation[]): OpenCounts => {
  const counts: Partial<Record<OpenKind, number>> = {};
  for (const { open } of observations)
    if (open !== undefined) counts[open.kind] = (counts[open.kind] ?? 0) + open.count;
  return counts;
};

const openText = (open: OpenCounts): string =>
  (Object.keys(openWords) as OpenKind[])
    .flatMap((kind) => (open[kind] === undefined ? [] : openWords[kind](open[kind])))
    .join(', ');

/** A conflict is wrong in itself: two machines say what cannot both be so, and nothing that rests on it is finished. */
const isWrong = ({ level, open }: Observation): boolean => level === 'fault' || open?.kind === 'conflict';

/** The last line: the whole result in one sentence. It never says that nothing is wrong where something is open. */
const closing = (faults: number, open: OpenCounts, isBegun: boolean): string => {
  const rest = openText(open);
  if (faults > 0) {
    const wrong = faults === 1 ? 'one thing is wrong' : `${faults} things are wrong`;
    return rest === '' ? wrong : `${wrong}; open: ${rest}`;
  }
  if (open.conflict !== undefined) return rest;
  if (!isBegun) return 'not begun: there is no entry to verify';
  return rest === '' ? 'nothing is wrong' : `nothing was found changed; open: ${rest}`;
};

const print = (call: Call, verified: Verified): number => {
  const { observations, path, what, entries, coverage } = verified;
  const faults = observations.filter(({ level }) => level === 'fault');
  const open = openIn(observations);
  const isGood = !observations.some(isWrong);
  const result = {
    [what]: path,
    good: isGood,
    ...(entries === undefined ? {} : { entries }),
    open,
    observations,
    ...(coverage === undefined ? {} : { coverage }),
  };
  if (call.flag('json')) call.print.json(result);
  else for (const observation of observations) if (!isWrong(observation)) call.print.lines(lineOf(observation));
  for (const observation of observations) if (isWrong(observation)) call.print.note(lineOf(observation));
  const name = basename(path) === 'record.json' ? path : `${what} ${path}`;
  const last = `${name}: ${closing(faults.length, open, entries !== 0)}`;
  if (!isGood) call.print.note(last);
  else if (!call.flag('json')) call.print.lines(last);
  return isGood ? 0 : 1;
};

const run = (call: Call): number => {
  if (call.words.length > 1)
    return failed(call, usage('word-extra', 'one path is verified at a time', 'write: dryfit verify [PATH]'));
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const verified = verifyPath(call, configuration.value);
  return verified.ok ? print(call, verified.value) : failed(call, verified.fault);
};

export const verifyCommand: CommandSpec = {
  name: 'verify',
  about: 'proves a record or a state, or says what is wrong where',
  usage: ['dryfit verify [PATH] [--signers FILE]'],
  options: { signers: { type: 'string', value: 'FILE', about: 'an allowed_signers file to trust, for a record' } },
  more: [
    'PATH is a record folder, its record.json, or a state folder; without it, the state.',
    'A record brings its own allowed_signers, beside it or above it: that proves that the record is whole, not whose keys those are.',
    'Exit 1 where something is wrong or a conflict between machines is not settled; what a power cut may leave is a note.',
    'Exit 2 where there is no state and no record: a script that verifies a copy must not take that as proof.',
  ],
  run,
};
