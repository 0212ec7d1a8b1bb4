import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ownMachine, type OwnMachine } from './machine.ts';

/** How one kept state was made. The state that is kept is that of the machine that was used first. */
export interface Story {
  readonly name: string;
  /** The time when the kept state is asked; RFC 3339. */
  readonly now: string;
  /** The folder of procedures with which the state is asked, in the project. */
  readonly pages: string;
  /** True where the state is asked everything, not only the most telling questions. */
  readonly isWide?: boolean;
  readonly act: (scene: Scene) => Promise<void>;
}

/** A machine of a story, and what is typed there. */
export interface Bench {
  readonly own: OwnMachine;
  /**
   * Runs one command a line. A line may begin with a time, to which the clock moves first, and with the expected exit code, as in `(3)`;
   * without one, 0 is expected. `'…'` keeps spaces together. `typed` is what each command reads from its input.
   */
  readonly says: (lines: string, typed?: string) => Promise<void>;
  /** Copies a folder of procedures to the machine as its `procedures`. */
  readonly pages: (folder: string) => void;
  /** Copies a file of the project into the machine's folder. */
  readonly copy: (from: string, to: string) => void;
  /** Begins with a copy of the whole state of another machine. */
  readonly copyState: (from: Bench) => void;
  /** Deletes the private key that dryfit made for a person on this machine. */
  readonly lose: (person: string) => void;
  /** Copies the key of a person from another machine, as PERSON.key. */
  readonly takeKey: (from: Bench, person: string) => void;
  /** Changes the draft of the build, as by hand. */
  readonly edit: (change: (text: string) => string) => void;
  /** The last entry by its name, `WRITER:SEQ`. */
  readonly entry: () => string;
  /** Runs one command and stores what it prints in a file of the machine. */
  readonly into: (file: string, line: string) => Promise<void>;
  /** Signs a file of the machine with ssh-keygen, as somebody without dryfit would. */
  readonly sign: (file: string, key: string, namespace: string) => void;
}

export interface Scene {
  readonly machine: (name: string) => Bench;
  /** Takes over the journal of another machine, as git or a file sync does. Where both have a file, the longer one is newer. */
  readonly pull: (into: Bench, from: Bench) => void;
}

export interface Made {
  readonly state: string;
  /** Every command, with all that it printed. */
  readonly printed: string;
}

const wordsOf = (line: string): readonly string[] =>
  [...line.matchAll(/(?:[^\s']|'[^']*')+/g)].map(([word]) => word.replaceAll("'", ''));

const keyFile = (own: OwnMachine, person: string): string =>
  join(own.folder, 'home/.config/dryfit/keys', `${person}.key`);

const timeFirst = /^(\+\d+(?:s|min|h|d)|\d{4}-\d\d-\d\dT\S+)\s+(.*)$/;
const codeFirst = /^\((\d)\)\s+(.*)$/;

const pull = (into: Bench, from: Bench): void => {
  for (const folder of ['journal', 'builds', 'procedures', 'attachments']) {
    if (!existsSync(join(from.own.state, folder))) continue;
    mkdirSync(join(into.own.state, folder), { recursive: true });
    for (const name of readdirSync(join(from.own.state, folder))) {
      const [theirs, ours] = [join(from.own.state, folder, name), join(into.own.state, folder, name)];
      if (!existsSync(ours) || statSync(theirs).size > statSync(ours).size) cpSync(theirs, ours);
    }
  }
};

/** Carries out a story, and passes the result to `look` before its folders are removed. */
export const makeState = async (
  story: Story,
  project: string,
  look: (made: Made) => void | Promise<void>,
): Promise<void> => {
  const benches: Bench[] = [];
  const printed: string[] = [];
  const machine = (name: string): Bench => {
    const own = ownMachine(`${story.name} ${name}`, project);
    const one = async (line: string, typed = ''): Promise<string> => {
      const [, time, timed = line] = timeFirst.exec(line) ?? [];
      const [, code = '0', command = timed] = codeFirst.exec(timed) ?? [];
      if (time !== undefined) own.at(time);
      const ran = await own.run(wordsOf(command), typed);
      own.at('+10s');
      printed.push(`${name}$ ${line}\n${ran.out}${ran.err}`);
      if (String(ran.code) !== code) throw new Error(`exit ${ran.code}, not ${code}\n${printed.slice(-3).join('')}`);
      return ran.out;
    };
    const bench: Bench = {
      own,
      says: async (lines, typed) => {
        for (const line of lines.split('\n').map((text) => text.trim()))
          if (line !== '' && !line.startsWith('#')) await one(line, typed);
      },
      pages: (folder) => {
        rmSync(join(own.folder, 'procedures'), { recursive: true, force: true });
        cpSync(join(project, folder), join(own.folder, 'procedures'), { recursive: true });
      },
      copy: (from, to) => cpSync(join(project, from), join(own.folder, to)),
      copyState: (from) => cpSync(from.own.state, own.state, { recursive: true }),
      lose: (person) => rmSync(keyFile(own, person)),
      takeKey: (from, person) => cpSync(keyFile(from.own, person), join(own.folder, `${person}.key`)),
      edit: (change) => {
        const draft = join(own.state, 'build.yaml');
        writeFileSync(draft, change(readFileSync(draft, 'utf8')));
      },
      entry: own.lastEntry,
      into: async (file, line) => void own.file(file, await one(line)),
      sign: (file, key, namespace) => {
        rmSync(join(own.folder, `${file}.sig`), { force: true });
        execFileSync('ssh-keygen', ['-Y', 'sign', '-n', namespace, '-f', key, file], {
          cwd: own.folder,
          stdio: 'pipe',
        });
      },
    };
    benches.push(bench);
    return bench;
  };
  try {
    await story.act({ machine, pull });
    await look({ state: benches[0]?.own.state ?? '', printed: printed.join('') });
  } finally {
    for (const { own } of benches) rmSync(own.folder, { recursive: true, force: true });
  }
};
