import { describe, expect, it } from 'vitest';
import { blobOf, isFingerprint, keyFromBlob, keyFromRaw, readKeyLine } from '../../src/proof/keys.ts';
import { sshString } from '../../src/proof/wire.ts';
import * as openssh from '../vectors/openssh/signature.ts';
import { codeOf, valueOf } from './outcomes.ts';

const line = openssh.key;

describe('a public key', () => {
  it('has the fingerprint that ssh-keygen prints', () => {
    expect(valueOf(readKeyLine(line)).fingerprint).toBe(openssh.fingerprint);
    expect(isFingerprint(openssh.fingerprint)).toBe(true);
  });

  it('reads with or without a comment, and is written without', () => {
    expect(valueOf(readKeyLine(`${line} someone at the bench\n`)).text).toBe(line);
  });

  it('is unchanged after encoding to a blob or bytes and back', () => {
    const key = valueOf(readKeyLine(line));
    expect(valueOf(keyFromBlob(blobOf(key))).text).toBe(line);
    expect(valueOf(keyFromRaw(key.raw)).text).toBe(line);
  });

  it.each([
    ['', 'key-type'],
    ['ssh-rsa AAAAB3NzaC1yc2E=', 'key-type'],
    ['ssh-ed25519', 'key-malformed'],
    ['ssh-ed25519 !!!!', 'key-malformed'],
    [line.slice(0, -1), 'key-malformed'],
    [line.slice(0, -4), 'key-malformed'],
    [`${line}AAAA`, 'key-malformed'],
    [`ssh-ed25519 ${Buffer.concat([sshString('ssh-rsa'), sshString('x')]).toString('base64')}`, 'key-type'],
    [`ssh-ed25519 ${Buffer.concat([sshString('ssh-ed25519'), sshString('x')]).toString('base64')}`, 'key-length'],
  ])('%j is refused: %s', (text, code) => {
    expect(codeOf(readKeyLine(text))).toBe(code);
  });

  it.each([
    '0000000000000000000000000000000000000000000000000000000000000000',
    '0100000000000000000000000000000000000000000000000000000000000000',
    '0100000000000000000000000000000000000000000000000000000000000080',
    '26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85',
    'c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a',
    'ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
    'eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff',
  ])('of small order is refused: %s', (hex) => {
    expect(codeOf(keyFromRaw(Buffer.from(hex, 'hex')))).toBe('key-weak');
  });

  it.each(['SHA256:abc', 'MD5:aa', openssh.fingerprint.replace(/.$/, 'N'), `${openssh.fingerprint}=`])(
    '%j is not a fingerprint',
    (text) => expect(isFingerprint(text)).toBe(false),
  );
});
