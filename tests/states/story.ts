import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ownMachine, type OwnMachine } from './machine.ts';

/** How one kept state was made. The kept state is the one of the machine that was used first. */
export interface Story {
  readonly name: string;
  /** What the clock says when the kept state is asked. */
  readonly now: string;
  /** The procedures that it is asked with: a folder of the project. */
  readonly pages: string;
  /** It is asked everything, not the most telling questions alone. */
  readonly isWide?: boolean;
  readonly act: (scene: Scene) => Promise<void>;
}

/** A machine of a story, and what is typed there. */
export interface Bench {
  readonly own: OwnMachine;
  /**
   * Runs one command a line. A line may begin with a time, to which the clock moves first, and with the exit code that must come, as in
   * `(3)`; else it is 0. `'…'` keeps spaces together. `typed` is what each command reads from its input.
   */
  readonly says: (lines: string, typed?: string) => Promise<void>;
  /** Lays a folder of procedures down as the machine's own `procedures`. */
  readonly pages: (folder: string) => void;
  /** Copies a file of the project into the machine's folder. */
  readonly copy: (from: string, to: string) => void;
  /** Begins with a copy of the whole state of another machine. */
  readonly copyState: (from: Bench) => void;
  /** Takes away the private key that dryfit made for a person here. */
  readonly lose: (person: string) => void;
  /** Copies that key from another machine, as PERSON.key. */
  readonly takeKey: (from: Bench, person: string) => void;
  /** Changes the draft of the build by hand. */
  readonly edit: (change: (text: string) => string) => void;
  /** The last entry by its name, `WRITER:SEQ`. */
  readonly entry: () => string;
  /** Runs one command and keeps what it prints in a file of the machine's. */
  readonly into: (file: string, line: string) => Promise<void>;
  /** Signs a file of the machine's with ssh-keygen, as somebody without dryfit would. */
  readonly sign: (file: string, key: string, namespace: string) => void;
}

export interface Scene {
  readonly machine: (name: string) => Bench;
  /** Takes over the journal of another machine as git or a file sync does; where both have a file, the longer one is the newer. */
  readonly pull: (into: Bench, from: Bench) => void;
}

export interface Made {
  readonly state: string;
  /** Every command with all that it printed. */
  readonly transcript: string;
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

/** Carries the story out, and hands over what came of it to `look` before it goes. */
export const makeState = async (
  story: Story,
  project: string,
  look: (made: Made) => void | Promise<void>,
): Promise<void> => {
  const benches: Bench[] = [];
  const transcript: string[] = [];
  const machine = (name: string): Bench => {
    const own = ownMachine(`${story.name} ${name}`, project);
    const one = async (line: string, typed = ''): Promise<string> => {
      const [, time, timed = line] = timeFirst.exec(line) ?? [];
      const [, code = '0', command = timed] = codeFirst.exec(timed) ?? [];
      if (time !== undefined) own.at(time);
      const ran = await own.run(wordsOf(command), typed);
      own.at('+10s');
      transcript.push(`${name}$ ${line}\n${ran.out}${ran.err}`);
      if (String(ran.code) !== code) throw new Error(`exit ${ran.code}, not ${code}\n${transcript.slice(-3).join('')}`);
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
    await look({ state: benches[0]?.own.state ?? '', transcript: transcript.join('') });
  } finally {
    for (const { own } of benches) rmSync(own.folder, { recursive: true, force: true });
  }
};
