import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readKeyLine } from '../../src/proof/keys.ts';
import { writeSigners } from '../../src/proof/signers.ts';
import { signedData, verifySshsig } from '../../src/proof/sshsig.ts';
import { isKeyFile, readKeyFile, writeKeyFile } from '../../src/signing/openssh.ts';
import { secretFromSeed, type SecretKey } from '../../src/signing/secret.ts';
import { makeSigner } from '../../src/signing/signer.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import rfc8032 from '../vectors/rfc8032/ed25519.json' with { type: 'json' };
import { run, sshKeygen, withFolder } from './openssh.ts';

const secretOf = (index: number) => secretFromSeed(Buffer.from(rfc8032.vectors[index]?.secret ?? '', 'hex'));
const secret = secretOf(0);
const signer = makeSigner(secret);

const secretIn = (text: string): SecretKey => {
  const key = valueOf(readKeyFile(text));
  if (key.kind !== 'open') throw new Error('the key is locked');
  return key.secret;
};

describe('a key pair', () => {
  it.each(rfc8032.vectors)('of RFC 8032, $name', (vector) => {
    const pair = secretFromSeed(Buffer.from(vector.secret, 'hex'));
    expect(Buffer.from(pair.publicKey.raw).toString('hex')).toBe(vector.public);
  });
});

describe('a private key file', () => {
  it('reads back as it was written, for any seed and comment', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 32, maxLength: 32 }), fc.string({ maxLength: 40 }), (seed, comment) => {
        const text = writeKeyFile(secretFromSeed(seed), comment);
        expect(isKeyFile(text)).toBe(true);
        expect(Buffer.from(secretIn(text).seed)).toEqual(Buffer.from(seed));
      }),
    );
  });

  it('reads in ssh-keygen with the same public key, fingerprint and comment', () => {
    withFolder((_, write) => {
      const path = write('key', writeKeyFile(secret, 'first at the bench'));
      expect(sshKeygen(['-y', '-f', path]).out.trim()).toBe(`${secret.publicKey.text} first at the bench`);
      expect(sshKeygen(['-l', '-f', path]).out).toContain(secret.publicKey.fingerprint);
    });
  });

  it('reads where ssh-keygen made it', () => {
    withFolder((folder) => {
      const path = join(folder, 'own');
      expect(sshKeygen(['-q', '-t', 'ed25519', '-N', '', '-C', 'mine', '-f', path]).status).toBe(0);
      const own = secretIn(readFileSync(path, 'utf8'));
      expect(own.publicKey.text).toBe(valueOf(readKeyLine(readFileSync(`${path}.pub`, 'utf8'))).text);
    });
  });

  it('of another type is refused, locked or not', () => {
    withFolder((folder) => {
      const locked = join(folder, 'locked');
      const other = join(folder, 'other');
      sshKeygen(['-q', '-t', 'ecdsa', '-a', '1', '-N', 'long enough', '-f', locked]);
      sshKeygen(['-q', '-t', 'ecdsa', '-N', '', '-f', other]);
      expect(codeOf(readKeyFile(readFileSync(locked, 'utf8')))).toBe('key-file');
      expect(codeOf(readKeyFile(readFileSync(other, 'utf8')))).toBe('key-file');
      expect(codeOf(readKeyFile(readFileSync(`${other}.pub`, 'utf8')))).toBe('key-file');
    });
  });

  it('is refused once any byte is changed, except in the comment and the two check numbers', () => {
    const comment = 'comment';
    const lines = writeKeyFile(secret, comment).split('\n');
    const blob = Buffer.from(lines.slice(1, -2).join(''), 'base64');
    const commentAt = blob.indexOf(comment);
    const text = (bytes: Buffer): string => [lines[0], bytes.toString('base64'), lines.at(-2), ''].join('\n');
    expect(codeOf(readKeyFile(text(blob)))).toBe('taken');
    for (let at = 0; at < blob.length; at += 1) {
      if (at >= commentAt && at < commentAt + comment.length) continue;
      const changed = Buffer.from(blob);
      changed[at] = (changed[at] ?? 0) ^ 0x10;
      expect(codeOf(readKeyFile(text(changed))), `byte ${at}`).not.toBe('taken');
    }
    for (let length = 0; length < blob.length; length += 1)
      expect(codeOf(readKeyFile(text(blob.subarray(0, length)))), `${length} bytes`).not.toBe('taken');
  });
});

describe('signatures in dryfit and in OpenSSH', () => {
  const message = '{"record":"as a text"}';
  const allowed = writeSigners([{ person: 'first', key: secret.publicKey }]);

  it('ssh-keygen verifies ours, and only for that message, person and purpose', () => {
    withFolder((_, write) => {
      const signers = write('allowed_signers', allowed);
      const sig = write('record.json.sig', valueOf(signer.signArmored('dryfit-record', message)));
      const verify = (input: string, person = 'first', namespace = 'dryfit-record') =>
        sshKeygen(['-Y', 'verify', '-f', signers, '-I', person, '-n', namespace, '-s', sig], input);
      expect(verify(message)).toMatchObject({ status: 0, out: expect.stringContaining('Good "dryfit-record"') });
      expect(verify(`${message}\n`).status).not.toBe(0);
      expect(verify(message, 'second').status).not.toBe(0);
      expect(verify(message, 'first', 'dryfit-hold').status).not.toBe(0);
      expect(sshKeygen(['-Y', 'find-principals', '-f', signers, '-s', sig]).out.trim()).toBe('first');
    });
  });

  it("ssh-keygen refuses our signature for a purpose that the person's line does not allow", () => {
    withFolder((_, write) => {
      const signers = write('allowed_signers', allowed);
      const sig = write('x.sig', valueOf(signer.signArmored('file', message)));
      const verify = sshKeygen(['-Y', 'verify', '-f', signers, '-I', 'first', '-n', 'file', '-s', sig], message);
      expect(verify.status).not.toBe(0);
    });
  });

  it('ours equals, byte for byte, the one that ssh-keygen makes with the same key', () => {
    withFolder((_, write) => {
      const key = write('key', writeKeyFile(secret, ''));
      const path = write('answer.json', message);
      expect(sshKeygen(['-Y', 'sign', '-q', '-f', key, '-n', 'dryfit-hold', path]).status).toBe(0);
      const theirs = readFileSync(`${path}.sig`, 'utf8');
      expect(theirs).toBe(valueOf(signer.signArmored('dryfit-hold', message)));
      expect(codeOf(verifySshsig(theirs, message, 'dryfit-hold', [secret.publicKey]))).toBe('taken');
      expect(codeOf(verifySshsig(theirs, message, 'dryfit-record', [secret.publicKey]))).toBe('signature-namespace');
    });
  });

  it('those that ssh-keygen makes with sha256 are read', () => {
    withFolder((_, write) => {
      const key = write('key', writeKeyFile(secret, ''));
      const path = write('answer.json', message);
      sshKeygen(['-Y', 'sign', '-q', '-O', 'hashalg=sha256', '-f', key, '-n', 'dryfit-hold', path]);
      const theirs = readFileSync(`${path}.sig`, 'utf8');
      expect(codeOf(verifySshsig(theirs, message, 'dryfit-hold', [secret.publicKey]))).toBe('taken');
      expect(codeOf(verifySshsig(theirs, `${message} `, 'dryfit-hold', [secret.publicKey]))).toBe('signature-false');
    });
  });

  it('openssl verifies the 64 bytes over the signed text, with the public key taken from OpenSSH', () => {
    withFolder((_, write) => {
      const raw = valueOf(signer.signRaw('dryfit-entry', message));
      const pem = write('public.pem', secret.publicKey.object.export({ type: 'spki', format: 'pem' }).toString());
      const data = write('data', '');
      const sig = write('sig', '');
      writeFileSync(data, signedData('dryfit-entry', message));
      writeFileSync(sig, raw);
      const args = ['pkeyutl', '-verify', '-pubin', '-inkey', pem, '-rawin', '-in', data, '-sigfile', sig];
      expect(run('openssl', args).out).toContain('Signature Verified Successfully');
      writeFileSync(data, signedData('dryfit-entry', `${message}x`));
      expect(run('openssl', args).status).not.toBe(0);
    });
  });
});
