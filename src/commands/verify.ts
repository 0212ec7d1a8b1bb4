import { basename, dirname, join } from 'node:path';
import { asUsage, err, ok, usage, type Outcome } from '../fault/fault.ts';
import type { Observation } from '../record/observe.ts';
import { verifyRecord } from '../record/verify.ts';
import type { Disk } from '../store/disk.ts';
import { stateFiles, stateFolders } from '../store/layout.ts';
import { readText } from '../store/read-file.ts';
import type { Workplace } from '../workshop/place.ts';
import { readRecordFiles } from '../workshop/records/record-files.ts';
import { pageObservations } from '../workshop/verify/page.ts';
import { verifyState } from '../workshop/verify/verify-state.ts';
import { failed } from './fail.ts';
import { fromHere } from './folders.ts';
import { configurationOf } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

const largestSigners = 1024 * 1024;

/** What was verified, and the result. Places are named as the person would find them. */
interface Verified {
  readonly what: 'state' | 'record';
  readonly path: string;
  readonly observations: readonly Observation[];
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

/** Verifies the path that was named: a record (its folder, or its record.json) or a state. Without a path, the state. */
const verifyPath = (call: Call, place: Workplace): Outcome<Verified> => {
  const [typed] = call.words;
  if (typed === undefined) return ok({ what: 'state', path: place.state, ...verifyState(place) });
  const path = fromHere(call.host.env, typed);
  const found = place.disk.look(path) && place.disk.look(place.disk.real(path));
  if (found === undefined)
    return err(
      usage('path-unknown', `there is nothing at ${typed}`, 'name a state, a record folder or its record.json'),
    );
  if (found.kind === 'file') return verifyOneRecord(call, place, typed, path);
  const inside = join(path, 'record.json');
  if (place.disk.look(inside) !== undefined) return verifyOneRecord(call, place, typed, inside);
  if (place.disk.look(join(path, stateFolders.journal)) === undefined)
    return err(
      usage(
        'path-unknown',
        `neither a state nor a record lies at ${typed}: it has no journal and no record.json`,
        'name a state, a record folder or its record.json',
      ),
    );
  return ok({ what: 'state', path: typed, ...verifyState({ ...place, state: path }) });
};

const marks: Readonly<Record<Observation['level'], string>> = { ok: 'good', notice: 'note', fault: 'wrong' };

const print = (call: Call, verified: Verified): number => {
  const { observations, path, what } = verified;
  const faults = observations.filter(({ level }) => level === 'fault');
  const result = { [what]: path, good: faults.length === 0, observations };
  if (call.flag('json')) call.print.json(result);
  const line = ({ level, where, what: said }: Observation): string => `${marks[level]}: ${where}: ${said}`;
  if (!call.flag('json'))
    for (const observation of observations) if (observation.level !== 'fault') call.print.lines(line(observation));
  for (const observation of faults) call.print.note(line(observation));
  const name = basename(path) === 'record.json' ? path : `${what} ${path}`;
  if (faults.length === 0) {
    if (!call.flag('json')) call.print.lines(`${name}: nothing is wrong`);
    return 0;
  }
  call.print.note(`${name}: ${faults.length === 1 ? 'one thing is' : `${faults.length} things are`} wrong`);
  return 1;
};

const run = (call: Call): number => {
  if (call.words.length > 1)
    return failed(call, usage('word-extra', 'one path is verified at a time', 'write: dryfit verify [PATH]'));
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const verified = verifyPath(call, configuration.value.place);
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
    'Exit 1 where something is wrong; what a power cut may leave is a note.',
  ],
  run,
};
