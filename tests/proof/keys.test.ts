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

  it('may have tabs, and space around it', () => {
    expect(valueOf(readKeyLine(` \t${line.replace(' ', ' \t ')}\tsomeone `)).text).toBe(line);
  });

  it('keeps its own 32 bytes, whatever becomes of those that it was read from', () => {
    const raw = Uint8Array.from(valueOf(readKeyLine(line)).raw);
    const key = valueOf(keyFromRaw(raw));
    raw.fill(0);
    expect(Buffer.from(key.raw).toString('hex')).toBe(
      '8962cd220ddc3415efc54f36356fbf08e07fe3f91ea6cf60262edc138c763004',
    );
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
    ['ssh-ed25519 AAA=', 'key-malformed'],
    [`ssh-ed25519 ${sshString('ssh-ed25519').toString('base64')}`, 'key-malformed'],
    [`ssh-ed25519 ${sshString('ssh-ed25519\u0007').toString('base64')}`, 'key-malformed'],
    [
      `ssh-ed25519 ${Buffer.concat([blobOf(valueOf(readKeyLine(line))), Buffer.from([0])]).toString('base64')}`,
      'key-malformed',
    ],
    [`ssh-ed25519-cert ${line.slice(12)}`, 'key-type'],
    [`ssh-ed25519 ${Buffer.concat([sshString('ssh-rsa'), sshString('x')]).toString('base64')}`, 'key-type'],
    [`ssh-ed25519 ${Buffer.concat([sshString('ssh-ed25519'), sshString('x')]).toString('base64')}`, 'key-length'],
  ])('%j is refused: %s', (text, code) => {
    expect(codeOf(readKeyLine(text))).toBe(code);
  });

  it('that is missing or cut is called so', () => {
    const whatOf = (text: string): string => {
      const key = readKeyLine(text);
      return key.ok ? 'a key' : key.fault.what;
    };
    expect(whatOf('ssh-ed25519')).toBe('the key is not base64');
    expect(whatOf('ssh-ed25519 !!!!')).toBe('the key is not base64');
    expect(whatOf(`ssh-ed25519 ${sshString('ssh-ed25519').toString('base64')}`)).toBe('the key is cut short');
    expect(whatOf('')).toBe('the key is of type (none); only ssh-ed25519 is read');
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

  it.each([31, 33])('of %d bytes is refused', (length) => {
    expect(codeOf(keyFromRaw(new Uint8Array(length).fill(7)))).toBe('key-length');
  });

  it('one bit away from one of small order is a key like any other', () => {
    const raw = new Uint8Array(32);
    raw[0] = 3; // y = 3: on the curve, of large order
    expect(codeOf(keyFromRaw(raw))).toBe('taken');
  });

  it.each([
    `x${openssh.fingerprint}`,
    openssh.fingerprint.replace('/', '_'),
    '',
    'SHA256:abc',
    'MD5:aa',
    openssh.fingerprint.replace(/.$/, 'N'),
    `${openssh.fingerprint}=`,
  ])('%j is not a fingerprint', (text) => expect(isFingerprint(text)).toBe(false));
});
