import { createPrivateKey, createPublicKey, sign, verify, type KeyObject } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readArmor, writeArmor } from '../../src/proof/armor.ts';
import { blobOf, keyFromRaw, readKeyLine } from '../../src/proof/keys.ts';
import {
  armored,
  readSignature,
  readSignatureText,
  signatureBlob,
  signedData,
  verifyRaw,
  verifySshsig,
} from '../../src/proof/sshsig.ts';
import { sshString, uint32 } from '../../src/proof/wire.ts';
import * as openssh from '../vectors/openssh/signature.ts';
import rfc8032 from '../vectors/rfc8032/ed25519.json' with { type: 'json' };
import { codeOf, valueOf } from './outcomes.ts';

const key = valueOf(readKeyLine(openssh.key));
const check = (text: string, message: string = openssh.message, namespace: string = openssh.namespace): string =>
  codeOf(verifySshsig(text, message, namespace, [key]));

const secretOf = (seedHex: string): KeyObject =>
  createPrivateKey({
    key: Buffer.from(`302e020100300506032b657004220420${seedHex}`, 'hex'),
    format: 'der',
    type: 'pkcs8',
  });

describe("OpenSSH's own vector", () => {
  it('verifies', () => {
    expect(check(openssh.signature)).toBe('taken');
  });

  it('splits into key, namespace, hash and 64 bytes, which make the same signature again', () => {
    const blob = valueOf(readArmor(openssh.signature));
    const signature = valueOf(readSignature(blob));
    expect(blob).toHaveLength(178);
    expect(signature).toMatchObject({ namespace: 'unittest', hash: 'sha512' });
    expect(signature.key.fingerprint).toBe(openssh.fingerprint);
    expect(armored(signature.raw, key, 'unittest')).toBe(openssh.signature);
    expect(codeOf(verifyRaw(signature.raw, key, 'unittest', openssh.message))).toBe('taken');
  });

  it('is refused for another message, namespace or key, each with its own code', () => {
    const other = valueOf(keyFromRaw(Buffer.from(rfc8032.vectors[0]?.public ?? '', 'hex')));
    expect(check(openssh.signature, `${openssh.message}\n`)).toBe('signature-false');
    expect(check(openssh.signature, openssh.message, 'file')).toBe('signature-namespace');
    expect(codeOf(verifySshsig(openssh.signature, openssh.message, openssh.namespace, [other]))).toBe('signature-key');
    expect(codeOf(verifySshsig(openssh.signature, openssh.message, openssh.namespace, []))).toBe('signature-key');
  });
});

describe('RFC 8032', () => {
  it.each(rfc8032.vectors)('$name: verifies with a key read here, and is what the private key makes', (vector) => {
    const message = Buffer.from(vector.message, 'hex');
    const publicKey = valueOf(keyFromRaw(Buffer.from(vector.public, 'hex')));
    const secret = secretOf(vector.secret);
    expect(sign(null, message, secret).toString('hex')).toBe(vector.signature);
    expect(createPublicKey(secret).equals(publicKey.object)).toBe(true);
    const raw = Buffer.from(vector.signature, 'hex');
    expect(verify(null, message, publicKey.object, raw)).toBe(true);
    // the same 64 bytes are not a signature in any namespace
    expect(codeOf(verifyRaw(raw, publicKey, 'dryfit-entry', message))).toBe('signature-false');
  });
});

describe('the armour', () => {
  const inside = openssh.signature.split('\n').slice(1, -2).join('');
  it.each([
    ['nothing', ''],
    ['no beginning', openssh.signature.slice(1)],
    ['no end', openssh.signature.replace(/-----END.*\n/, '')],
    ['text before', `hello\n${openssh.signature}`],
    ['text after', `${openssh.signature}hello\n`],
    ['two of them', openssh.signature + openssh.signature],
    ['another mark', openssh.signature.replaceAll('SSH SIGNATURE', 'SSH SIGNATURES')],
    ['a space inside', openssh.signature.replace('U1NI', 'U1 NI')],
    ['loose bits at the end', openssh.signature.replace('egDg==', 'egDh==')],
    ['no padding', openssh.signature.replace('==', '')],
    ['the other alphabet', openssh.signature.replace('+', '-')],
    ['a megabyte', openssh.signature.replace('U1NI', 'A'.repeat(1_000_000))],
  ])('is refused: %s', (_, text) => {
    expect(check(text)).toBe('signature-armour');
  });

  it('may have CRLF, lines of any width, and no last line feed', () => {
    expect(check(openssh.signature.replaceAll('\n', '\r\n'))).toBe('taken');
    expect(check(openssh.signature.trimEnd())).toBe('taken');
    expect(check(`-----BEGIN SSH SIGNATURE-----\n${inside}\n-----END SSH SIGNATURE-----\n`)).toBe('taken');
  });

  it('decodes to the bytes that were encoded', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        expect(Buffer.from(valueOf(readArmor(writeArmor(bytes))))).toEqual(Buffer.from(bytes));
      }),
    );
  });
});

describe('each malformed signature is refused with its own code', () => {
  const raw = valueOf(readSignature(valueOf(readArmor(openssh.signature)))).raw;
  const make = (change: Partial<Record<'magic' | 'version' | 'key' | 'namespace' | 'hash' | 'signature', Buffer>>) =>
    writeArmor(
      Buffer.concat([
        change.magic ?? Buffer.from('SSHSIG'),
        change.version ?? uint32(1),
        change.key ?? sshString(blobOf(key)),
        change.namespace ?? sshString('unittest'),
        sshString(''),
        change.hash ?? sshString('sha512'),
        change.signature ?? sshString(Buffer.concat([sshString('ssh-ed25519'), sshString(raw)])),
      ]),
    );
  const blob = Buffer.from(signatureBlob(raw, key, 'unittest'));

  it('(the unchanged one is accepted)', () => expect(check(make({}))).toBe('taken'));

  it.each([
    ['magic', make({ magic: Buffer.from('SSHSIK') }), 'signature-malformed'],
    ['version 0', make({ version: uint32(0) }), 'signature-version'],
    ['version 2', make({ version: uint32(2) }), 'signature-version'],
    ['hash md5', make({ hash: sshString('md5') }), 'signature-hash'],
    ['hash with controls', make({ hash: sshString('\u0007') }), 'signature-malformed'],
    ['no namespace', make({ namespace: sshString('') }), 'signature-namespace'],
    ['another type of key', make({ key: sshString(sshString('ssh-rsa')) }), 'key-type'],
    ['a short key', make({ key: sshString(Buffer.concat([sshString('ssh-ed25519'), sshString('k')])) }), 'key-length'],
    ['key with a tail', make({ key: sshString(Buffer.concat([blobOf(key), Buffer.from([0])])) }), 'key-malformed'],
    [
      'signature of another type',
      make({ signature: sshString(Buffer.concat([sshString('ssh-rsa'), sshString(raw)])) }),
      'signature-type',
    ],
    [
      '63 bytes',
      make({ signature: sshString(Buffer.concat([sshString('ssh-ed25519'), sshString(raw.subarray(1))])) }),
      'signature-length',
    ],
    ['nothing where the 64 bytes are', make({ signature: sshString('') }), 'signature-malformed'],
    ['no 64 bytes', make({ signature: sshString(sshString('ssh-ed25519')) }), 'signature-malformed'],
    ['a tail', writeArmor(Buffer.concat([blob, Buffer.from([0])])), 'signature-malformed'],
    [
      'a huge length',
      writeArmor(Buffer.concat([blob.subarray(0, 10), Buffer.from('ffffffff', 'hex')])),
      'signature-malformed',
    ],
  ])('%s', (_, text, code) => {
    expect(check(text)).toBe(code);
  });

  it('cut at every length', () => {
    for (let length = 0; length < blob.length; length += 1)
      expect(check(writeArmor(blob.subarray(0, length))), `${length} bytes`).not.toBe('taken');
  });

  it('with any single bit flipped', () => {
    for (let bit = 0; bit < blob.length * 8; bit += 1) {
      const turned = Buffer.from(blob);
      turned[bit >> 3] = (turned[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(check(writeArmor(turned)), `bit ${bit}`).not.toBe('taken');
    }
  });
});

describe('the signed text', () => {
  it('is that of PROTOCOL.sshsig, byte by byte', () => {
    expect(signedData('ab', 'x').toString('hex')).toMatch(
      /^535348534947000000026162000000000000000673686135313200000040[0-9a-f]{128}$/,
    );
  });
});

describe('the text of a signature', () => {
  const blob = valueOf(readArmor(openssh.signature));
  const { raw } = valueOf(readSignature(blob));
  const isAsWritten = (text: string): boolean => valueOf(readSignatureText(text)).isAsWritten;

  it('of ssh-keygen is as it was written, whichever hash it signs', () => {
    expect(isAsWritten(openssh.signature)).toBe(true);
    expect(isAsWritten(writeArmor(signatureBlob(raw, key, 'unittest', 'sha256')))).toBe(true);
    expect(valueOf(readSignatureText(openssh.signature)).key).toBe(openssh.fingerprint);
  });

  it('may be changed so that it still verifies, and then it is not', () => {
    const reserved = Buffer.concat([
      Buffer.from('SSHSIG'),
      uint32(1),
      sshString(blobOf(key)),
      sshString('unittest'),
      sshString('anything'),
      sshString('sha512'),
      sshString(Buffer.concat([sshString('ssh-ed25519'), sshString(raw)])),
    ]);
    const [first = '', ...lines] = openssh.signature.split('\n');
    const changed = [
      openssh.signature.replaceAll('\n', '\r\n'),
      openssh.signature.slice(0, -1),
      [first, ...lines.slice(0, -2).join('').split(''), ...lines.slice(-2)].join('\n'),
      writeArmor(reserved),
    ];
    for (const text of changed) {
      if (readArmor(text).ok && codeOf(readSignatureText(text)) === 'taken') expect(isAsWritten(text)).toBe(false);
    }
    expect(check(writeArmor(reserved))).toBe('taken');
    expect(check(openssh.signature.replaceAll('\n', '\r\n'))).toBe('taken');
  });

  it('holds no byte that can be changed, added or taken away unseen', () => {
    const bytes = Buffer.from(openssh.signature, 'latin1');
    const unseen = (text: string): boolean =>
      check(text) === 'taken' && codeOf(readSignatureText(text)) === 'taken' && isAsWritten(text);
    for (let at = 0; at < bytes.length; at += 1) {
      const [before, after] = [openssh.signature.slice(0, at), openssh.signature.slice(at)];
      for (const put of [' ', '\n', '\r', '\t', 'A', '=']) {
        if (put !== openssh.signature[at]) expect(unseen(before + put + after.slice(1)), `${at}`).toBe(false);
        const added = before + put + after;
        if (added !== openssh.signature) expect(unseen(added), `${at} ${JSON.stringify(put)}`).toBe(false);
      }
      expect(unseen(before + after.slice(1)), `${at}`).toBe(false);
    }
  });
});
