import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readKeyLine } from '../../src/proof/keys.ts';
import { readBase64 } from '../../src/proof/wire.ts';
import { mostRounds } from '../../src/signing/openssh-lock.ts';
import { readKeyFile } from '../../src/signing/openssh.ts';
import type { LockedKey } from '../../src/signing/secret.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { sshKeygen, withFolder } from './openssh.ts';

/* Key files made by the real ssh-keygen, with a passphrase. */

interface Made {
  readonly text: string;
  /** The line of the `.pub` file. */
  readonly line: string;
}

const make = (passphrase: string, ...more: readonly string[]): Made =>
  withFolder((folder) => {
    const path = join(folder, 'own');
    expect(sshKeygen(['-q', '-t', 'ed25519', '-N', passphrase, '-C', 'mine', ...more, '-f', path]).status).toBe(0);
    return { text: readFileSync(path, 'utf8'), line: readFileSync(`${path}.pub`, 'utf8') };
  });

const lockedIn = (text: string): LockedKey => {
  const key = valueOf(readKeyFile(text));
  if (key.kind !== 'locked') throw new Error('the key is open');
  return key;
};

const lines = (text: string): readonly string[] => text.trimEnd().split('\n');
const blobIn = (text: string): Buffer => readBase64(lines(text).slice(1, -1).join('')) ?? Buffer.alloc(0);
const withBlob = (text: string, blob: Uint8Array): string =>
  [lines(text)[0], Buffer.from(blob).toString('base64'), lines(text).at(-1), ''].join('\n');

const opens = ({ text, line }: Made, passphrase: string): void => {
  const key = lockedIn(text);
  const publicKey = valueOf(readKeyLine(line));
  expect(key.fingerprint).toBe(publicKey.fingerprint);
  expect(valueOf(key.unlock(passphrase)).publicKey.text).toBe(publicKey.text);
  expect(codeOf(key.unlock(`${passphrase}x`))).toBe('passphrase');
};

describe('a key file that ssh-keygen put under a passphrase', () => {
  it.each([1, 2, 16, 24])('opens with it, made with %i rounds', (rounds) => {
    opens(make('keel and strut', '-a', String(rounds)), 'keel and strut');
  });

  it.each([
    'aes256-ctr',
    'aes192-ctr',
    'aes128-ctr',
    'aes256-cbc',
    'aes192-cbc',
    'aes128-cbc',
    'aes256-gcm@openssh.com',
    'aes128-gcm@openssh.com',
  ])('opens with it, encrypted with %s', (cipher) => {
    opens(make('keel and strut', '-a', '1', '-Z', cipher), 'keel and strut');
  });

  it.each(['Müller', 'x'.repeat(200), 'five', ' spaces at both ends '])(
    'opens with any passphrase: %s',
    (passphrase) => {
      opens(make(passphrase, '-a', '1'), passphrase);
    },
  );

  it('is refused by name where it is encrypted in a way that is not read here', () => {
    const { text } = make('keel and strut', '-a', '1', '-Z', 'chacha20-poly1305@openssh.com');
    expect(codeOf(readKeyFile(text))).toBe('key-file-locked');
  });

  it('is refused once it is cut, at every length', () => {
    const { text } = make('keel and strut', '-a', '1');
    const blob = blobIn(text);
    for (let length = 0; length < blob.length; length += 1)
      expect(codeOf(readKeyFile(withBlob(text, blob.subarray(0, length)))), `${length} bytes`).toBe('key-file');
    expect(codeOf(readKeyFile(withBlob(text, Buffer.concat([blob, Buffer.alloc(16)]))))).toBe('key-file');
    expect(codeOf(readKeyFile(text.slice(0, text.length / 2)))).toBe('key-file');
  });

  it.each(['aes256-ctr', 'aes256-gcm@openssh.com'])('opens no more once a byte is changed, %s', (cipher) => {
    const made = make('keel and strut', '-a', '1', '-Z', cipher);
    const blob = blobIn(made.text);
    const comment = 4 + 'mine'.length + 16;
    for (let at = 0; at < blob.length - comment; at += 1) {
      const changed = Buffer.from(blob);
      changed[at] = (changed[at] ?? 0) ^ 0x10;
      const read = readKeyFile(withBlob(made.text, changed));
      const opened =
        read.ok && read.value.kind === 'locked' ? codeOf(read.value.unlock('keel and strut')) : codeOf(read);
      expect(opened, `byte ${at}`).not.toBe('taken');
    }
  });

  it('is refused before any work where it asks for too many rounds', () => {
    const { text } = make('keel and strut', '-a', '1');
    const blob = blobIn(text);
    // magic, cipher, kdf, then the options: salt and rounds
    const at = blob.indexOf('bcrypt') + 'bcrypt'.length + 4 + 4 + 16;
    expect(blob.readUInt32BE(at)).toBe(1);
    const asking = (rounds: number): string => {
      const changed = Buffer.from(blob);
      changed.writeUInt32BE(rounds, at);
      return withBlob(text, changed);
    };
    expect(codeOf(readKeyFile(asking(mostRounds)))).toBe('taken');
    for (const rounds of [0, mostRounds + 1, 2 ** 31, 2 ** 32 - 1])
      expect(codeOf(readKeyFile(asking(rounds))), `${rounds}`).toBe('key-file');
  });
});
