import { decideBuild, decideCommand } from '../../../src/aircraft/decide.ts';
import { evolveBuild } from '../../../src/aircraft/evolve.ts';
import { emptyFile } from '../../../src/aircraft/file.ts';
import { pageIn } from '../../../src/aircraft/gates/plan.ts';
import type { Library } from '../../../src/aircraft/library.ts';
import { emptyBuild, jobOf, type BuildState } from '../../../src/aircraft/state.ts';
import { err, ok, usage, type Fault } from '../../../src/fault/fault.ts';
import type { Data, Entry } from '../../../src/job/entry.ts';
import { commandOfEntry, readEntry, typedText } from '../../../src/job/parse.ts';
import { isLookVerb, verbSpec, type Verb } from '../../../src/job/verbs.ts';
import type { Procedure } from '../../../src/procedure/model.ts';
import { readProcedure } from '../../../src/procedure/load.ts';
import { sameData } from '../../../src/proof/canonical.ts';
import { sha256Hex } from '../../../src/proof/hash.ts';
import { namespaces } from '../../../src/proof/sshsig.ts';
import { answerText } from '../../../src/workshop/answers.ts';
import { keyText, signerOf } from './keys.ts';
import type { BuildPages } from './pages.ts';

/* A build in memory: the engine with real pages, keys and signed answers, and no disk. Lines are not signed, because no rule asks that. */

/** The pages of a build, read once for all the walks that use them. */
export interface ReadPages extends BuildPages {
  readonly read: ReadonlyMap<string, Procedure>;
}

/** Throws where a page has errors: a generator that writes such pages walks less than it says. */
export const readPages = (pages: BuildPages): ReadPages => ({
  ...pages,
  read: new Map(
    pages.texts.map((text) => {
      const { procedure, messages } = readProcedure(text, 'page.yaml');
      const wrong = messages.find(({ level }) => level === 'error');
      if (wrong || !procedure) throw new Error(`${wrong?.what ?? 'no procedure'}\n${text}`);
      return [sha256Hex(text), procedure];
    }),
  ),
});

/** A time as an entry has it: RFC 3339, one hour east of UTC, whole seconds. @param ms since 1970. */
export const timeText = (ms: number): string => `${new Date(ms + 3_600_000).toISOString().slice(0, 19)}+01:00`;

export interface Saying {
  readonly verb: Verb;
  readonly object?: string | number;
  readonly data?: Data;
  readonly job?: string;
  readonly by?: string;
  /** When it happened, ms since 1970. */
  readonly when?: number;
}

/** What became of a command. */
export type Said =
  { readonly entry: Entry; readonly before: BuildState; readonly again: readonly string[] } | { readonly fault: Fault };

export interface WalkBuild {
  readonly state: () => BuildState;
  readonly entries: () => readonly Entry[];
  readonly library: Library;
  readonly pages: ReadPages;
  /** The time of the next entry, ms since 1970. */
  ms: number;
  readonly say: (saying: Saying) => Said;
}

/** The law that `verify` rests on: an entry, decided again at its place, decides to itself. */
const decidedAgain = (state: BuildState, entry: Entry, library: Library): readonly string[] => {
  const command = commandOfEntry(entry);
  if (!command) return [];
  const again = decideCommand(state, command, library);
  if (!again.ok) return [`${entry.type} ${entry.id} is refused when it is decided again: ${again.fault.what}`];
  const { data, job, also } = again.value;
  return sameData(data, entry.data) && job === entry.job && sameData(also, entry.also)
    ? []
    : [
        `${entry.type} ${entry.id} decides to another entry: ${JSON.stringify(data)}, not ${JSON.stringify(entry.data)}`,
      ];
};

export const walkBuild = (pages: ReadPages): WalkBuild => {
  const file = { ...emptyFile, ...pages.file };
  const texts = [...pages.read];
  const library: Library = {
    procedure: (hash) => {
      const found = pages.read.get(hash);
      return found ? ok(found) : err(usage('unknown-id', 'no such text', hash));
    },
    build: () => ok(file),
    log: () => err(usage('file-missing', 'no such file', 'the walk imports none')),
  };
  let state = emptyBuild;
  const entries: Entry[] = [];

  /** Reads and applies a line, as it would be read from a journal. */
  const apply = (type: string, by: string, data: Data, job: string, more: Partial<Entry> = {}): Entry => {
    const id = `walk:${entries.length + 1}`;
    const at = timeText(build.ms);
    const text = JSON.stringify({ id, type, by, data, job, at, more });
    const read = readEntry({ id, type, by, data, job, at, also: [], hash: sha256Hex(text), ...more });
    if (!read.ok) throw new Error(read.fault.what);
    const after = evolveBuild(state, read.value, library);
    if (!after.ok) throw new Error(after.fault.what);
    state = after.value;
    entries.push(read.value);
    return read.value;
  };

  /** The text of a procedure: the first revision for a start, the one named for a move. */
  const textFor = ({ verb, object, data, job }: Saying): Data => {
    const own = verb === 'start' ? String(object) : job === undefined ? '' : (jobOf(state, job)?.procedure ?? '');
    const mark = verb === 'move' ? object : verb === 'resolve' ? data?.['revision'] : undefined;
    const found = texts.find(([, one]) => one.procedure === own && (mark === undefined || one.revision === mark));
    const wants = verb === 'start' || verb === 'move' || verb === 'resolve';
    return wants && found ? { sha256: found[0], ...(verb === 'start' ? { revision: found[1].revision } : {}) } : {};
  };

  /** The answer of whoever looks, signed as at the bench: it is made of what was decided. */
  const answered = (data: Data, job: string, verb: Verb, by: string): Data => {
    const own = jobOf(state, job);
    if (!isLookVerb(verb) || !own) return data;
    const text = answerText(state, {
      job: own,
      step: typedText(data, 'step') ?? '',
      answer: verb,
      person: by,
      data,
      nonce: String(entries.length),
    });
    const signature = text.ok ? signerOf(by).signArmored(namespaces.hold, text.value) : text;
    if (!text.ok || !signature.ok) throw new Error('no answer');
    return { ...data, answer: text.value, 'answer-sig': signature.value };
  };

  const build: WalkBuild = {
    state: () => state,
    entries: () => entries,
    library,
    pages,
    ms: Date.parse('2026-03-02T08:00:00Z'),
    say: (saying) => {
      const { verb, object, data = {}, job = '', by = 'ines', when } = saying;
      const name = verbSpec(verb).object?.name;
      const given = {
        ...(object === undefined || name === undefined ? {} : { [name]: object }),
        ...textFor(saying),
        ...(verb === 'photo' ? { 'file-sha256': 'f'.repeat(64) } : {}),
        ...data,
      };
      const at = timeText(build.ms);
      const happened = when === undefined ? {} : { when: timeText(when) };
      const before = state;
      const decided = decideBuild(before, { verb, job, by, at, data: given, writer: 'walk', ...happened }, library);
      if (!decided.ok) return { fault: decided.fault };
      const { job: of, also } = decided.value;
      const kept = answered(decided.value.data as Data, of, verb, by);
      const entry = apply(verb, by, kept, of, { also, ...happened });
      return { entry, before, again: decidedAgain(before, entry, library) };
    },
  };
  for (const { person } of file.people)
    apply('key', person, { person, key: keyText(person), powers: ['inspector', 'designer'] }, '');
  const held = texts.map(([hash, procedure]) => pageIn(procedure, hash));
  apply('build', 'ines', { sha256: sha256Hex('build'), pages: held as unknown as Data }, '');
  return build;
};
