import { createHash, generateKeyPairSync } from 'node:crypto';
import { expect } from 'vitest';
import { decideBuild } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { emptyFile, type BuildFile } from '../../src/aircraft/file.ts';
import type { Library } from '../../src/aircraft/library.ts';
import { jobOf, emptyBuild, type BuildState } from '../../src/aircraft/state.ts';
import { pageIn } from '../../src/aircraft/gates/plan.ts';
import { ok, usage, err, type Fault } from '../../src/fault/fault.ts';
import type { Data, Entry, Taken } from '../../src/job/entry.ts';
import type { JobState } from '../../src/job/state.ts';
import { readLog } from '../../src/job/logger/read.ts';
import type { Verb } from '../../src/job/verbs.ts';
import type { Procedure } from '../../src/procedure/model.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import { entryFrom } from './entries.ts';
import { addMs } from './instants.ts';

/** A build in memory: the engine with real procedures, and entries that nobody signs. */
export interface Engine {
  readonly state: () => BuildState;
  readonly job: (id?: string) => JobState;
  /** Moves the clock to an instant, or forward by `+20h`. */
  readonly at: (time: string) => Engine;
  readonly as: (person: string) => Engine;
  /** The job that is meant from now on, until another one starts. */
  readonly in: (job: string) => Engine;
  readonly says: (verb: Verb, object?: string | number, data?: Data, when?: string) => Said;
  /** Puts another build.yaml in force, with these parts of it changed. */
  readonly builds: (change: Partial<BuildFile>) => void;
  readonly entries: () => readonly Entry[];
  readonly library: Library;
  /** Reads a logger's file of this text, as the workshop does. */
  readonly log: (text: string | Uint8Array) => Data;
}

export interface Said {
  readonly taken: () => Taken;
  /** Expects a refusal with this code. */
  readonly refused: (code: string) => Fault;
  /** Why the command was not accepted; undefined where it was. */
  readonly fault: () => Fault | undefined;
  /** Expects a usage fault with this code. */
  readonly wrong: (code?: string) => Fault;
}

const sha = (text: string): string => createHash('sha256').update(text).digest('hex');

const keyLine = (): string => {
  const raw = generateKeyPairSync('ed25519').publicKey.export({ format: 'der', type: 'spki' }).subarray(-32);
  const head = Buffer.from('0000000b7373682d6564323535313900000020', 'hex');
  return `ssh-ed25519 ${Buffer.concat([head, raw]).toString('base64')}`;
};

export const procedureOf = (yaml: string, file = 'p.yaml'): Procedure => {
  const read = readProcedure(yaml, file);
  const errors = read.messages.filter((message) => message.level === 'error');
  expect(errors, `the procedure is clean: ${JSON.stringify(errors)}`).toEqual([]);
  if (!read.procedure) throw new Error('no procedure');
  return read.procedure;
};

const people: BuildFile['people'] = [
  { person: 'ines', powers: ['builder'] },
  { person: 'tobias', powers: ['inspector'] },
  { person: 'quillon', powers: ['designer'] },
  { person: 'marit', powers: ['adviser', 'witness'] },
];

/** @param file what build.yaml says; with `pages`, the procedures are also what the procedures folder held when it was taken in. */
export const engineWith = (
  procedures: readonly string[],
  { pages = false, ...file }: Partial<BuildFile> & { readonly pages?: boolean } = {},
): Engine => {
  const texts = new Map(procedures.map((text) => [sha(text), procedureOf(text)]));
  // Where there are several revisions, a job starts with the first.
  const byName = new Map([...texts].toReversed().map(([hash, procedure]) => [procedure.procedure, hash]));
  const builds = new Map<string, BuildFile>();
  const build: BuildFile = { ...emptyFile, people, gates: ['hull-close', 'first-start', 'first-flight'], ...file };
  const logs = new Map<string, Uint8Array>();
  const library: Library = {
    procedure: (hash) => {
      const found = texts.get(hash);
      return found ? ok(found) : err(usage('unknown-id', 'no such text', 'x'));
    },
    build: (hash) => ok(builds.get(hash) ?? build),
    log: ({ sha256, file }, words) => {
      const bytes = logs.get(sha256);
      return bytes ? readLog(bytes, file, words) : err(usage('file-missing', 'no such file', 'x'));
    },
  };
  /** The hash and the revision mark of a text, as the workshop supplies them. */
  const revised = (verb: Verb, object: string | number | undefined, data: Data): Data => {
    if (verb !== 'move' && verb !== 'resolve') return {};
    const mark = verb === 'move' ? object : data['revision'];
    const found = [...texts].findLast(
      ([, { revision, answers }]) => answers?.bulletin === object || mark === undefined || revision === mark,
    );
    return found ? { sha256: found[0], revision: found[1].revision } : {};
  };
  let state = emptyBuild;
  let at = '2026-03-02T09:00:00+01:00';
  let by = 'ines';
  let meant = '';
  const entries: Entry[] = [];
  const apply = (
    type: string,
    data: Data,
    job: string,
    when?: string,
    also: readonly string[] = [],
    person = by,
  ): void => {
    const id = `w:${entries.length + 1}`;
    const entry = entryFrom({
      id,
      hash: sha(JSON.stringify([id, type, data, at, by])),
      at,
      by: person,
      job,
      type,
      data,
      also,
      ...(when === undefined ? {} : { when }),
    });
    const after = evolveBuild(state, entry, library);
    if (!after.ok) throw new Error(after.fault.what);
    state = after.value;
    entries.push(entry);
  };
  for (const { person } of build.people)
    apply('key', { person, key: keyLine(), powers: ['inspector', 'designer'] }, '', undefined, [], person);
  const held = [...texts].map(([sha256, procedure]) => pageIn(procedure, sha256));
  apply('build', { sha256: sha('build'), ...(pages ? { pages: held } : {}) }, '');
  const says: Engine['says'] = (verb, object, data = {}, when) => {
    const name = (Object.hasOwn(objects, verb) ? objects[verb as keyof typeof objects] : undefined) ?? 'step';
    const start =
      verb === 'start' ? { sha256: byName.get(String(object)) ?? '', revision: 'A' } : revised(verb, object, data);
    const given = { ...(object === undefined ? {} : { [name]: object }), ...start, ...data };
    const command = {
      verb,
      job: meant,
      by,
      at,
      data: given,
      ...(when === undefined ? {} : { when }),
    };
    const decided = decideBuild(state, command, library);
    if (decided.ok) apply(verb, decided.value.data, decided.value.job, when, decided.value.also);
    if (decided.ok && verb === 'start') meant = state.jobOrder.at(-1) ?? '';
    return {
      taken: () => {
        expect(decided.ok ? 'taken' : decided.fault, `${verb} ${object ?? ''} is taken`).toBe('taken');
        return decided.ok ? decided.value : ({} as Taken);
      },
      refused: (code) => {
        expect(decided.ok ? 'taken' : `${decided.fault.kind} ${decided.fault.code}`, `${verb} ${object ?? ''}`).toBe(
          `refused ${code}`,
        );
        return decided.ok ? ({} as Fault) : decided.fault;
      },
      fault: () => (decided.ok ? undefined : decided.fault),
      wrong: (code) => {
        expect(decided.ok ? 'taken' : decided.fault.kind, `${verb} ${object ?? ''}`).toBe('usage');
        if (!decided.ok && code !== undefined) expect(decided.fault.code).toBe(code);
        return decided.ok ? ({} as Fault) : decided.fault;
      },
    };
  };
  const engine: Engine = {
    state: () => state,
    job: (id) => {
      const job = jobOf(state, id ?? state.jobOrder.at(-1) ?? '');
      if (!job) throw new Error('no job');
      return job;
    },
    at: (time) => {
      at = time.startsWith('+') ? addMs(at, time.slice(1)) : time;
      return engine;
    },
    as: (person) => {
      by = person;
      return engine;
    },
    in: (job) => {
      meant = job;
      return engine;
    },
    says,
    builds: (change) => {
      const file = { ...state.file, ...change };
      const hash = sha(JSON.stringify([entries.length, change]));
      builds.set(hash, file);
      apply('build', { sha256: hash }, '');
    },
    entries: () => entries,
    library,
    log: (text) => {
      const bytes = typeof text === 'string' ? Buffer.from(text, 'utf8') : text;
      const sha256 = createHash('sha256').update(bytes).digest('hex');
      logs.set(sha256, bytes);
      return { 'file-sha256': sha256 };
    },
  };
  return engine;
};

const objects = {
  start: 'procedure',
  read: 'reading',
  correct: 'entry',
  discard: 'batch',
  break: 'sample',
  lot: 'material',
  part: 'part',
  use: 'kind',
  tool: 'tool',
  temperature: 'temperature',
  temperatures: 'file',
  photo: 'photo',
  answer: 'finding',
  dispose: 'on',
  depart: 'code',
  loose: 'item',
  close: 'tag',
  remark: 'text',
  advise: 'text',
  move: 'revision',
  resolve: 'change',
  clock: 'time',
} as const;
