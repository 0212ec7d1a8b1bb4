import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readKeyLine } from '../../src/proof/keys.ts';
import { readBase64 } from '../../src/proof/wire.ts';
import { defaultRounds, mostRounds } from '../../src/signing/openssh-lock.ts';
import { readKeyFile, writeKeyFile } from '../../src/signing/openssh.ts';
import { newSecret, type LockedKey } from '../../src/signing/secret.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom, sshKeygen, withFolder } from './openssh.ts';

/* Key files under a passphrase, those that the real ssh-keygen makes and those that dryfit makes. */

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
  it.each([1, 2, 16, 24])('opens with its passphrase after %i rounds', (rounds) => {
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
    'opens with its passphrase, whatever that is: %s',
    (passphrase) => {
      opens(make(passphrase, '-a', '1'), passphrase);
    },
  );

  it('is refused where dryfit does not know the cipher', () => {
    const { text } = make('keel and strut', '-a', '1', '-Z', 'chacha20-poly1305@openssh.com');
    expect(codeOf(readKeyFile(text))).toBe('key-file-locked');
  });

  it('is refused where it is cut at any length', () => {
    const { text } = make('keel and strut', '-a', '1');
    const blob = blobIn(text);
    for (let length = 0; length < blob.length; length += 1)
      expect(codeOf(readKeyFile(withBlob(text, blob.subarray(0, length)))), `${length} bytes`).toBe('key-file');
    expect(codeOf(readKeyFile(withBlob(text, Buffer.concat([blob, Buffer.alloc(16)]))))).toBe('key-file');
    expect(codeOf(readKeyFile(text.slice(0, text.length / 2)))).toBe('key-file');
  });

  it.each(['aes256-ctr', 'aes256-gcm@openssh.com'])('no longer opens once a byte is changed, %s', (cipher) => {
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

describe('a key file that dryfit put under a passphrase', () => {
  const random = fixedRandom();
  const secret = newSecret(random);
  const lockWith = (passphrase: string, rounds = 1): string =>
    writeKeyFile(secret, 'ines', { passphrase, random, rounds });
  const seedIn = (text: string, passphrase: string): Buffer =>
    Buffer.from(valueOf(lockedIn(text).unlock(passphrase)).seed);

  it.each(['keel and strut', 'M\u00fcller', 'x'.repeat(200), ' spaces at both ends ', 'x'])(
    'opens with ssh-keygen: %s',
    (passphrase) => {
      withFolder((_, write) => {
        const path = write('key', lockWith(passphrase));
        expect(sshKeygen(['-y', '-P', passphrase, '-f', path])).toMatchObject({
          status: 0,
          out: `${secret.publicKey.text} ines\n`,
        });
        expect(sshKeygen(['-y', '-P', `${passphrase}x`, '-f', path]).status).not.toBe(0);
        expect(sshKeygen(['-y', '-P', '', '-f', path]).status).not.toBe(0);
        expect(sshKeygen(['-l', '-f', path]).out).toContain(secret.publicKey.fingerprint);
      });
    },
  );

  it('opens with ssh-keygen at its full cost, the default rounds of ssh-keygen', () => {
    const text = writeKeyFile(secret, 'ines', { passphrase: 'keel and strut', random });
    const blob = blobIn(text);
    expect(blob.readUInt32BE(blob.indexOf('bcrypt') + 'bcrypt'.length + 4 + 4 + 16)).toBe(defaultRounds);
    expect(defaultRounds).toBe(24);
    expect(blob.includes('aes256-ctr')).toBe(true);
    expect(codeOf(lockedIn(text).unlock('keel and struts'))).toBe('passphrase');
    withFolder((_, write) => {
      const path = write('key', text);
      expect(sshKeygen(['-y', '-P', 'keel and strut', '-f', path]).out).toContain(secret.publicKey.text);
    });
  });

  it('has the form of the file that ssh-keygen makes from the same key', () => {
    withFolder((_, write) => {
      const path = write('key', writeKeyFile(secret, 'ines'));
      const locking = ['-q', '-p', '-a', '1', '-P', '', '-N', 'keel and strut', '-f', path];
      expect(sshKeygen(locking).status).toBe(0);
      const [theirs, ours] = [blobIn(readFileSync(path, 'utf8')), blobIn(lockWith('keel and strut'))];
      expect(ours.length).toBe(theirs.length);
      // all but the salt and the encrypted part, which differ each time
      const saltAt = ours.indexOf('bcrypt') + 'bcrypt'.length + 4 + 4;
      const sealedAt = ours.indexOf(Buffer.from(secret.publicKey.raw)) + 32 + 4;
      expect(ours.subarray(0, saltAt)).toEqual(theirs.subarray(0, saltAt));
      expect(ours.subarray(saltAt + 16, sealedAt)).toEqual(theirs.subarray(saltAt + 16, sealedAt));
    });
  });

  it('opens here after ssh-keygen has changed its passphrase', () => {
    withFolder((_, write) => {
      const path = write('key', lockWith('one'));
      const changing = ['-q', '-p', '-a', '1', '-P', 'one', '-N', 'another', '-f', path];
      expect(sshKeygen(changing).status).toBe(0);
      const changed = readFileSync(path, 'utf8');
      expect(seedIn(changed, 'another')).toEqual(Buffer.from(secret.seed));
      expect(codeOf(lockedIn(changed).unlock('one'))).toBe('passphrase');
    });
  });

  it('opens with its own passphrase and no other', () => {
    const passphrase = fc.string({ unit: 'grapheme', minLength: 1 });
    fc.assert(
      fc.property(passphrase, passphrase, (right, other) => {
        fc.pre(right.normalize('NFC') !== other.normalize('NFC'));
        const text = lockWith(right);
        expect(seedIn(text, right)).toEqual(Buffer.from(secret.seed));
        expect(codeOf(lockedIn(text).unlock(other))).toBe('passphrase');
      }),
      { numRuns: 30 },
    );
  });

  it('opens with the same passphrase typed on another keyboard', () => {
    expect(seedIn(lockWith('M\u00fcller'), 'Mu\u0308ller')).toEqual(Buffer.from(secret.seed));
    expect(seedIn(lockWith('Mu\u0308ller'), 'M\u00fcller')).toEqual(Buffer.from(secret.seed));
  });

  it('does not hold the seed in the clear, and is another text each time', () => {
    expect(blobIn(lockWith('x')).includes(Buffer.from(secret.seed))).toBe(false);
    expect(lockWith('x')).not.toBe(lockWith('x'));
  });

  it('is never made with an empty passphrase', () => {
    expect(() => lockWith('')).toThrow('empty passphrase');
  });
});
