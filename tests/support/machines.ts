import { createHash } from 'node:crypto';
import { expect } from 'vitest';
import { decideBuild } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import type { BuildFile } from '../../src/aircraft/file.ts';
import { inCausalOrder } from '../../src/aircraft/order.ts';
import { emptyBuild, jobOf, openContradictions, type BuildState } from '../../src/aircraft/state.ts';
import type { Contradiction } from '../../src/job/contradiction.ts';
import type { Fault } from '../../src/fault/fault.ts';
import type { Data, Entry } from '../../src/job/entry.ts';
import { typedText } from '../../src/job/parse.ts';
import type { JobState } from '../../src/job/state.ts';
import { verbSpec, type Verb } from '../../src/job/verbs.ts';
import type { Link } from '../../src/proof/chain.ts';
import type { JournalLine } from '../../src/proof/line.ts';
import { engineWith } from './engine.ts';
import { entryFrom } from './entries.ts';

/* Several machines on one build, each with a journal file of its own. Only the engine: no disk and no signatures. */

const sha = (text: string): string => createHash('sha256').update(text).digest('hex');
const names = ['aaaaaaaa', 'bbbbbbbb', 'cccccccc'] as const;

interface Written {
  readonly entry: Entry;
  readonly link: Link;
}

export interface OneMachine {
  readonly state: () => BuildState;
  readonly job: (procedure?: string) => JobState;
  /** Decides a command with what this machine knows of the build, and writes the accepted entry into the machine's own file. */
  readonly says: (verb: Verb, object?: string, data?: Data, by?: string) => Fault | undefined;
  readonly taken: (verb: Verb, object?: string, data?: Data, by?: string) => Entry;
  readonly refused: (code: string, verb: Verb, object?: string, data?: Data, by?: string) => Fault;
  readonly contradictions: () => readonly Contradiction[];
  /** Every entry that the machine has, in the common order. */
  readonly entries: () => readonly Entry[];
  /** Takes over all files of another machine, as git or a file sync does. */
  readonly pull: (from: OneMachine) => void;
  readonly files: () => readonly (readonly Written[])[];
}

/** @param procedures their texts; where there are several revisions of one procedure, a job starts with the first. */
export const machinesOn = (procedures: readonly string[], file: Partial<BuildFile> = {}) => {
  const begin = engineWith(procedures, file);
  const texts = new Map(procedures.map((text) => [text, sha(text)]));
  const shaOf = (name: string, mark?: string): string =>
    [...texts].find(
      ([text]) => text.includes(`procedure: ${name}\n`) && (mark === undefined || text.includes(`revision: ${mark}\n`)),
    )?.[1] ?? '';
  let minute = 0;
  const first: readonly Written[] = begin.entries().map((entry, index, all) => {
    const own: Entry = { ...entry, id: `${names[0]}:${index + 1}`, seen: {} };
    const line = { writer: names[0], seq: index + 1, prev: all[index - 1]?.hash ?? '', seen: {}, at: entry.at };
    return { entry: own, link: { line: line as unknown as JournalLine, hash: entry.hash } };
  });

  const machine = (index: 0 | 1 | 2): OneMachine => {
    const writer = names[index];
    const files = new Map<string, readonly Written[]>([[names[0], first]]);
    let known: BuildState | undefined;
    const ordered = (): readonly Entry[] => {
      const byHash = new Map([...files.values()].flat().map((one) => [one.link.hash, one.entry]));
      return inCausalOrder([...files.values()].map((file_) => file_.map(({ link }) => link))).flatMap(
        ({ hash }) => byHash.get(hash) ?? [],
      );
    };
    const fold = (): BuildState => {
      let state = emptyBuild;
      for (const entry of ordered()) {
        const after = evolveBuild(state, entry, begin.library);
        if (!after.ok) throw new Error(after.fault.what);
        state = after.value;
      }
      return state;
    };
    const state = (): BuildState => (known ??= fold());
    const write = (verb: Verb, data: Data, job: string, by: string, also: readonly string[], at: string): Entry => {
      const mine = files.get(writer) ?? [];
      const seen = Object.fromEntries(
        [...files].flatMap(([other, lines]) => {
          const last = lines.at(-1);
          return other === writer || last === undefined ? [] : [[other, last.link.hash]];
        }),
      );
      const hash = sha(JSON.stringify([writer, mine.length, verb, data, at]));
      const entry = entryFrom({ id: `${writer}:${mine.length + 1}`, hash, at, by, job, type: verb, data, also, seen });
      const line = { writer, seq: mine.length + 1, prev: mine.at(-1)?.link.hash ?? '', seen, at };
      files.set(writer, [...mine, { entry, link: { line: line as unknown as JournalLine, hash } }]);
      known = undefined;
      return entry;
    };
    const put = (verb: Verb, object: string | undefined, data: Data, by: string): Entry | Fault => {
      minute += 1;
      const at = `2026-03-02T${String(10 + Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}:00+01:00`;
      const name = verbSpec(verb).object?.name;
      const jobs = state().jobOrder;
      const job = jobs.find((id) => id.startsWith(typedText(data, 'job') ?? '')) ?? '';
      const { job: _job, ...rest } = data;
      const own = jobOf(state(), job);
      const text =
        verb === 'start'
          ? { sha256: shaOf(object ?? ''), revision: 'A' }
          : verb === 'move' || verb === 'resolve'
            ? { sha256: shaOf(own?.procedure ?? '', 'B') }
            : {};
      const given: Data = {
        ...(name === undefined || object === undefined ? {} : { [name]: object }),
        ...text,
        ...rest,
      };
      const command = { verb, job, by, at, data: given, writer };
      const decided = decideBuild(state(), command, begin.library);
      return decided.ok
        ? write(verb, decided.value.data, decided.value.job, by, decided.value.also, at)
        : decided.fault;
    };
    const self: OneMachine = {
      state,
      job: (procedure = '') => {
        const id = state().jobOrder.find((one) => one.startsWith(procedure)) ?? '';
        const job = jobOf(state(), id);
        if (!job) throw new Error(`no job ${procedure}`);
        return job;
      },
      says: (verb, object, data = {}, by = 'ines') => {
        const said = put(verb, object, data, by);
        return 'kind' in said ? said : undefined;
      },
      taken: (verb, object, data = {}, by = 'ines') => {
        const said = put(verb, object, data, by);
        expect('kind' in said ? said : 'taken', `${verb} ${object ?? ''}`).toBe('taken');
        return said as Entry;
      },
      refused: (code, verb, object, data = {}, by = 'ines') => {
        const said = put(verb, object, data, by);
        expect('kind' in said ? `${said.kind} ${said.code}` : 'taken', `${verb} ${object ?? ''}`).toBe(
          `refused ${code}`,
        );
        return said as Fault;
      },
      contradictions: () => openContradictions(state()),
      entries: ordered,
      pull: (from) => {
        for (const lines of from.files()) {
          const other = lines[0]?.link.line.writer ?? '';
          if ((files.get(other)?.length ?? 0) < lines.length) files.set(other, lines);
        }
        known = undefined;
      },
      files: () => [...files.values()],
    };
    return self;
  };
  const all = [machine(0), machine(1), machine(2)] as const;
  return { one: all[0], two: all[1], three: all[2], all, library: begin.library };
};

/** Each machine takes over what the others have. */
export const meet = (...machines: readonly OneMachine[]): void => {
  for (const to of machines) for (const from of machines) if (to !== from) to.pull(from);
};
