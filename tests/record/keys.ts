import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Sign } from './fixture.ts';

/** Real keys, made and used by ssh-keygen, in a folder of their own. */
export interface KeyRing {
  /** The text of an allowed_signers file with everybody in it. */
  readonly signers: string;
  readonly fingerprints: Readonly<Record<string, readonly string[]>>;
  readonly sign: (person: string, namespace: string, message: string | Uint8Array) => string;
  readonly answer: Sign;
  /** What `ssh-keygen -Y verify` says of it. */
  readonly verifies: (person: string, namespace: string, message: string | Uint8Array, signature: string) => boolean;
  readonly remove: () => void;
}

/** Of Debian's openssh-client: a program of the machine, not of a package. */
const program = 'ssh-keygen';

const allowed = 'namespaces="dryfit-record,dryfit-entry,dryfit-hold"';

export const keyRing = (people: readonly string[]): KeyRing => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-record-'));
  const keygen = (...args: string[]): string => execFileSync(program, args, { encoding: 'utf8', stdio: 'pipe' });
  for (const person of people) keygen('-q', '-t', 'ed25519', '-N', '', '-C', person, '-f', join(folder, person));
  const publicKey = (person: string): string => readFileSync(join(folder, `${person}.pub`), 'utf8').trim();
  const signers = people.map((person) => `${person} ${allowed} ${publicKey(person)}\n`).join('');
  writeFileSync(join(folder, 'allowed_signers'), signers);
  let next = 0;
  const place = (): string => {
    next += 1;
    const inside = join(folder, `m${next}`);
    mkdirSync(inside);
    return inside;
  };
  const sign: KeyRing['sign'] = (person, namespace, message) => {
    const file = join(place(), 'message');
    writeFileSync(file, message);
    keygen('-Y', 'sign', '-q', '-f', join(folder, person), '-n', namespace, file);
    return readFileSync(`${file}.sig`, 'utf8');
  };
  return {
    signers,
    fingerprints: Object.fromEntries(
      people.map((person) => [person, [keygen('-l', '-f', join(folder, `${person}.pub`)).split(' ')[1] ?? '']]),
    ),
    sign,
    answer: (person, said) => {
      const text = JSON.stringify(said);
      return { text, signature: sign(person, 'dryfit-hold', text) };
    },
    verifies: (person, namespace, message, signature) => {
      const file = join(place(), 'sig');
      writeFileSync(file, signature);
      const args = ['-Y', 'verify', '-f', join(folder, 'allowed_signers'), '-I', person, '-n', namespace, '-s', file];
      const ran = spawnSync(program, args, { input: message, encoding: 'utf8' });
      return ran.status === 0 && ran.stdout.startsWith('Good ');
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
};
