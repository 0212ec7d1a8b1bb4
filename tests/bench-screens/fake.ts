import { entryFrom } from '../support/entries.ts';
import { createHash, generateKeyPairSync } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { decideBuild } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { emptyFile, type BuildFile } from '../../src/aircraft/file.ts';
import { readLog } from '../../src/job/logger/read.ts';
import type { Library } from '../../src/aircraft/library.ts';
import { emptyBuild, type BuildState } from '../../src/aircraft/state.ts';
import { err, ok, usage } from '../../src/fault/fault.ts';
import type { Data, Entry } from '../../src/job/entry.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import type { Procedure } from '../../src/procedure/model.ts';
import { printInstant } from '../../src/quantity/time.ts';
import type { Key } from '../../src/terminal/keys.ts';
import { ascii, drawn } from '../../src/bench/drawing/marks.ts';
import {
  isBookVerb,
  type Act,
  type BookVerb,
  type Reply,
  type BenchPort,
  type Secrets,
  type Startable,
} from '../../src/bench/ports.ts';
import { idFrom, newcomerSecret } from '../../src/bench/session/newcomer.ts';
import type { Intent } from '../../src/workshop/intent.ts';
import { runBench, type Bench } from '../../src/bench/run.ts';
import { newSession, type View } from '../../src/bench/session/state.ts';
import { frameText, type Size } from '../../src/bench/view/frame.ts';
import { typedText } from '../../src/job/parse.ts';
import { fileFields } from '../../src/workshop/attached-files.ts';

const sha = (text: string): string => createHash('sha256').update(text).digest('hex');

const keyLine = (): string => {
  const raw = generateKeyPairSync('ed25519').publicKey.export({ format: 'der', type: 'spki' }).subarray(-32);
  const head = Buffer.from('0000000b7373682d6564323535313900000020', 'hex');
  return `ssh-ed25519 ${Buffer.concat([head, raw]).toString('base64')}`;
};

const people: BuildFile['people'] = [
  { person: 'ines', name: 'Ines Varrow', powers: ['builder'] },
  { person: 'tobias', name: 'Tobias Hesk', powers: ['inspector'] },
  { person: 'marit', name: 'Marit Ollen', powers: ['witness', 'adviser'] },
];

export const shipped = (id: string): string =>
  readFileSync(new URL(`../../procedures/${id}.yaml`, import.meta.url), 'utf8');

export interface FakeOptions {
  /** Texts of procedures. */
  readonly procedures?: readonly string[];
  readonly file?: Partial<BuildFile>;
  /** Nobody has a key yet. */
  readonly empty?: boolean;
  readonly size?: Size;
  readonly view?: View;
  readonly plainMarks?: boolean;
  /** Whose key has a passphrase. */
  readonly passphrases?: Secrets;
}

export interface Fake {
  readonly bench: Bench;
  /** Keys by name (`enter`), or text, typed character by character; each key comes half a second after the one before. */
  readonly press: (...keys: readonly string[]) => Fake;
  /** The same with no time between. */
  readonly burst: (...keys: readonly string[]) => Fake;
  /** One key of a terminal, `burst` if a machine sent it. */
  readonly pressKey: (key: Key, burst: boolean) => Fake;
  readonly resize: (columns: number, rows: number) => Fake;
  /** The clock goes on by so many minutes, and ticks. */
  readonly pass: (minutes: number) => Fake;
  readonly text: () => string;
  readonly acts: readonly Act[];
  readonly build: () => BuildState;
  readonly rung: () => number;
  readonly left: () => boolean;
  /** An entry of another machine that knew nothing of what was done here. */
  readonly elsewhere: (by: string, type: string, data: Data, job: string) => Fake;
  /** The bench as it opens after a kill: a new session on the same state. */
  readonly reopen: (job?: string) => Fake;
}

const names = new Set([
  'enter',
  'escape',
  'up',
  'down',
  'left',
  'right',
  'tab',
  'backspace',
  'delete',
  'home',
  'end',
  'page-down',
  'page-up',
  'ctrl-c',
  'ctrl-u',
]);

const keysOf = (text: string): readonly Key[] =>
  names.has(text)
    ? [{ kind: 'named', name: text as 'enter' }]
    : Array.from(text, (character): Key => ({ kind: 'char', text: character }));

const begins = Date.UTC(2026, 2, 2, 8, 0, 0);

/** The one file that the workshop would find: 20 °C from the evening before until after ten hours of a cure. */
const night = 'time,temperature (°C)\n2026-03-01T20:00:00Z,20\n2026-03-02T08:00:00Z,20\n2026-03-02T18:00:00Z,20\n';

/** The bench on the real engine with a journal of nothing but memory: what it submits is decided and applied as the workshop would. */
export const fakeBench = (options: FakeOptions = {}): Fake => {
  const texts = new Map((options.procedures ?? [shipped('keel-scarf-bond')]).map((text) => [sha(text), text]));
  const procedures = new Map<string, Procedure>();
  const startable: Startable[] = [];
  for (const [hash, text] of texts) {
    const { procedure, messages } = readProcedure(text, 'p.yaml');
    if (!procedure) throw new Error(JSON.stringify(messages));
    procedures.set(hash, procedure);
    startable.push({ id: procedure.procedure, title: procedure.title, procedure });
  }
  let build: BuildFile = { ...emptyFile, people, gates: ['hull-close', 'first-start'], ...options.file };
  const library: Library = {
    procedure: (hash) => {
      const found = procedures.get(hash);
      return found ? ok(found) : err(usage('unknown-id', 'no such text', ''));
    },
    build: () => ok(build),
    log: ({ file }, words) =>
      file === 'night.csv' ? readLog(Buffer.from(night), file, words) : err(usage('file-missing', 'no such file', '')),
  };
  let ms = begins;
  let mono = 0;
  let size = options.size ?? { columns: 48, rows: 13 };
  let state = emptyBuild;
  let count = 0;
  let bells = 0;
  let gone = false;
  const acts: Act[] = [];

  const apply = (
    by: string,
    type: string,
    data: Data,
    job: string,
    also: readonly string[] = [],
    writer = 'w',
    when?: string,
  ): Entry => {
    count += 1;
    const entry = entryFrom({
      id: `${writer}:${count}`,
      ...(writer === 'w' ? {} : { seen: {} }),
      hash: sha(JSON.stringify([count, type, data, ms, by])),
      at: printInstant(ms, 60),
      ...(when === undefined ? {} : { when }),
      by,
      job,
      type,
      data,
      also,
    });
    const next = evolveBuild(state, entry, library);
    if (!next.ok) throw new Error(next.fault.what);
    state = next.value;
    return entry;
  };
  /** What the workshop would bring: the text of a procedure, and the hash of each file. */
  const withBrought = ({ verb, data }: Intent): Data => {
    const hashes = Object.fromEntries(
      fileFields(verb).flatMap((field) => {
        const path = typedText(data, field);
        return path === undefined ? [] : [[`${field}-sha256`, sha(path)]];
      }),
    );
    if (verb !== 'start') return { ...data, ...hashes };
    const text = [...procedures].find(([, one]) => one.procedure === data['procedure'])?.[0] ?? '';
    return { ...data, sha256: text, revision: 'B' };
  };
  /** Book-keeping as the workshop does it: build.yaml with one more line, taken in, and a key for whoever signs. */
  const book = (act: Act, verb: BookVerb, secrets: Secrets): Reply => {
    const text = (name: string): string => typedText(act.data, name) ?? '';
    const person = idFrom(text('name'));
    if (verb === 'take-in-tool')
      build = {
        ...build,
        tools: [...build.tools, { tool: text('tool'), kind: text('kind'), 'in-date-until': text('in-date-until') }],
      };
    else {
      if (secrets[newcomerSecret('passphrase')] === undefined)
        return { kind: 'fault', fault: usage('passphrase-missing', 'no passphrase', 'choose one') };
      const powers = [text('power') as 'inspector'];
      build = { ...build, people: [...build.people, { person, name: text('name'), powers }] };
      apply(person, 'key', { person, key: keyLine(), powers: ['inspector', 'designer'] }, '');
    }
    const entry = apply(act.by, 'build', { sha256: sha(JSON.stringify(build)) }, '');
    const { id, at, by, data } = entry;
    return { kind: 'done', done: { entry: id, at, by, job: '', type: 'build', data, told: [`${verb} done`] } };
  };
  const submit = (act: Act, secrets: Secrets): Reply => {
    const { verb } = act;
    return isBookVerb(verb) ? book(act, verb, secrets) : enterAct({ ...act, verb }, secrets);
  };
  const enterAct = (act: Intent, secrets: Secrets): Reply => {
    const wanted = options.passphrases?.[act.by];
    if (wanted !== undefined && secrets[act.by] !== wanted)
      return { kind: 'locked', person: act.by, wrong: secrets[act.by] !== undefined };
    const command = { ...act, data: withBrought(act), at: printInstant(ms, 60) };
    const decided = decideBuild(state, command, library);
    acts.push(act);
    if (!decided.ok) return { kind: 'fault', fault: decided.fault };
    const { data, job: of, also } = decided.value;
    const entry = apply(act.by, act.verb, data, of, also, 'w', act.when);
    const job = act.verb === 'start' ? (state.jobOrder.at(-1) ?? '') : entry.job;
    return {
      kind: 'done',
      done: {
        entry: entry.id,
        at: entry.at,
        by: act.by,
        job,
        type: act.verb,
        data: entry.data,
        told: decided.value.told,
        ...(decided.value.verdict === undefined ? {} : { verdict: decided.value.verdict }),
        ...(act.verb === 'complete' ? { record: `state/records/${act.job}/1` } : {}),
      },
    };
  };
  const introduceAll = (): void => {
    for (const { person } of build.people)
      apply(person, 'key', { person, key: keyLine(), powers: ['inspector', 'designer'] }, '');
    apply('ines', 'build', { sha256: sha('build') }, '');
  };
  if (!options.empty) introduceAll();
  const port: BenchPort = {
    build: () => state,
    submit,
    introduce: ({ person, name }) => {
      const entry = apply(person, 'key', { person, name, key: keyLine() }, '');
      return {
        kind: 'done',
        done: { entry: entry.id, at: entry.at, by: person, job: '', type: 'key', data: {}, told: [] },
      };
    },
    procedures: () => startable,
    answering: () => [...procedures.values()].filter(({ answers }) => answers !== undefined),
    keys: () => Object.keys(state.keys),
    keep: () => {},
  };
  const marks = options.plainMarks ? ascii : drawn;
  const open = (job?: string): Bench =>
    runBench({
      port,
      session: newSession(
        options.empty ? undefined : 'ines',
        options.view ?? 'by size',
        'none',
        [],
        options.empty === true,
      ),
      ...(job === undefined ? {} : { job }),
      size: () => size,
      now: () => ({ ms, offset: 60 }),
      monotonic: () => mono,
      marks,
      bell: () => {
        bells += 1;
      },
      leave: () => {
        gone = true;
      },
    });
  let bench = open();
  const send = (between: number, keys: readonly string[]): void => {
    for (const key of keys.flatMap(keysOf)) {
      mono += between;
      ms += between;
      bench.press(key);
    }
  };
  const fake: Fake = {
    get bench() {
      return bench;
    },
    press: (...keys) => (send(500, keys), fake),
    burst: (...keys) => (send(0, keys), fake),
    pressKey: (key, burst) => {
      mono += 500;
      bench.press(key, burst);
      return fake;
    },
    resize: (columns, rows) => {
      size = { columns, rows };
      bench.resized();
      mono += 1000;
      return fake;
    },
    pass: (minutes) => {
      ms += minutes * 60_000;
      mono += minutes * 60_000;
      bench.tick();
      return fake;
    },
    text: () => frameText(bench.frame(), marks).join('\n'),
    acts,
    build: () => state,
    rung: () => bells,
    left: () => gone,
    elsewhere: (by, type, data, job) => {
      apply(by, type, data, job, [], 'x');
      bench.changed();
      return fake;
    },
    reopen: (job) => {
      bench = open(job);
      return fake;
    },
  };
  return fake;
};
