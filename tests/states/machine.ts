import { createPrivateKey, createPublicKey } from 'node:crypto';
import { mkdtempSync, readFileSync, readdirSync, realpathSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { main } from '../../src/cli.ts';
import { chance } from '../support/chance.ts';

/** What a command printed, and its exit code. The machine's folder is printed as `<machine>`, the project's as `<project>`. */
export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

export interface OwnMachine {
  readonly folder: string;
  readonly state: string;
  /** Moves the machine's clock to an instant, or forward by `+20min` (s, min, h, d). */
  readonly at: (time: string) => void;
  /** `<project>` in an argument is the project's folder. */
  readonly run: (argv: readonly string[], typed?: string) => Promise<Ran>;
  readonly file: (name: string, content: string | Uint8Array) => string;
  /** A person's own OpenSSH key pair, in NAME and NAME.pub. The same name always gives the same pair. */
  readonly key: (name: string) => void;
  /** `WRITER:SEQ` of the last entry by this machine's writer. */
  readonly lastEntry: () => string;
}

const units: Readonly<Record<string, number>> = { s: 1000, min: 60_000, h: 3_600_000, d: 86_400_000 };

const moved = (ms: number, time: string): number => {
  const [, count, unit = ''] = /^\+(\d+)(s|min|h|d)$/.exec(time) ?? [];
  const to = count === undefined ? Date.parse(time) : ms + Number(count) * (units[unit] ?? 0);
  if (Number.isNaN(to)) throw new Error(`${time} is not a time`);
  return to;
};

/** The same bytes in each run. Keys, writer names and nonces made from them give a state that can be compared byte for byte. */
const bytesFrom = (text: string): ((length: number) => Uint8Array) => {
  const next = chance([...text].reduce((sum, letter) => (Math.imul(sum, 31) + (letter.codePointAt(0) ?? 0)) >>> 0, 7));
  return (length) => Uint8Array.from({ length }, () => Math.floor(next() * 256));
};

const u32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32BE(value);
  return bytes;
};
const wire = (content: string | Uint8Array): Buffer => {
  const bytes = Buffer.from(content as string);
  return Buffer.concat([u32(bytes.length), bytes]);
};

/**
 * Both files of an Ed25519 key pair of OpenSSH without a passphrase. Source: openssh-portable, PROTOCOL.key; the DER prefix is that of RFC
 * 8410.
 */
const openSshPair = (name: string): { readonly secret: string; readonly open: string } => {
  const first = bytesFrom(`key of ${name}`)(32);
  const der = Buffer.concat([Buffer.from('302e020100300506032b657004220420', 'hex'), first]);
  const spki = createPublicKey(createPrivateKey({ key: der, format: 'der', type: 'pkcs8' }));
  const raw = spki.export({ format: 'der', type: 'spki' }).subarray(-32);
  const blob = Buffer.concat([wire('ssh-ed25519'), wire(raw)]);
  const both = wire(Buffer.concat([first, raw]));
  const inner = Buffer.concat([u32(1), u32(1), blob, both, wire(name)]);
  const padded = Buffer.concat([inner, Buffer.from([1, 2, 3, 4, 5, 6, 7].slice(0, (8 - (inner.length % 8)) % 8))]);
  const head = [Buffer.from('openssh-key-v1\0'), wire('none'), wire('none'), wire(''), u32(1), wire(blob)];
  const lines = Buffer.concat([...head, wire(padded)])
    .toString('base64')
    .replace(/.{70}/g, '$&\n')
    .trimEnd();
  const [begin, end] = ['BEGIN', 'END'].map((word) => `-----${word} OPENSSH PRIVATE KEY-----`);
  return { secret: `${begin}\n${lines}\n${end}\n`, open: `ssh-ed25519 ${blob.toString('base64')} ${name}\n` };
};

/**
 * A machine with empty settings, keys and cache. Its clock does not run, and its random bytes depend on `name` alone. It runs the program
 * in this process, as a built one would run: the first command reads the whole journal, and later ones start from the snapshot of the one
 * before.
 */
export const ownMachine = (name: string, project: string): OwnMachine => {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'dryfit-states-')));
  const state = join(folder, 'state');
  const random = bytesFrom(name);
  let ms = Date.parse('2026-03-02T09:00:00+01:00');
  const plain = (text: string): string => text.replaceAll(folder, '<machine>').replaceAll(project, '<project>');
  return {
    folder,
    state,
    at: (time) => {
      ms = moved(ms, time);
    },
    run: async (argv, typed = '') => {
      const said = { out: '', err: '' };
      const into = (key: 'out' | 'err') => ({ write: (text: string) => void (said[key] += text), isTTY: false });
      const now = ms;
      const code = await main(
        [...argv.map((word) => word.replace('<project>', project)), '--state', state],
        { stdin: Object.assign(Readable.from([typed]), {}), stdout: into('out'), stderr: into('err') },
        { wall: () => now, monotonic: () => now, offset: () => 60, after: () => () => undefined },
        {
          variables: {},
          program: 'program-000000000000',
          cwd: folder,
          home: join(folder, 'home'),
          random,
          setVariable: () => undefined,
          life: { on: () => undefined, off: () => undefined, kill: () => undefined, pid: 0 },
        },
      );
      return { code, out: plain(said.out), err: plain(said.err) };
    },
    file: (file, content) => {
      const path = join(folder, file);
      writeFileSync(path, content);
      return path;
    },
    key: (person) => {
      const { secret, open } = openSshPair(person);
      writeFileSync(join(folder, person), secret, { mode: 0o600 });
      writeFileSync(join(folder, `${person}.pub`), open);
    },
    lastEntry: () => {
      const memory = join(folder, 'home/.config/dryfit/writers');
      const [file = ''] = readdirSync(memory);
      const { writer, seq } = JSON.parse(readFileSync(join(memory, file), 'utf8')) as { writer: string; seq: number };
      return `${writer}:${seq}`;
    },
  };
};
