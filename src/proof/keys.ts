import { createHash, createPublicKey, type KeyObject } from 'node:crypto';
import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { readBase64, sshString, wireReader } from './wire.ts';

/** The one kind of key that dryfit uses: Ed25519, RFC 8032, under its name in OpenSSH (RFC 8709). */
export const keyType = 'ssh-ed25519';

/** A public key, checked when it was read. */
export interface PublicKey {
  /** As OpenSSH writes it, without a comment: `ssh-ed25519 AAAA…`. */
  readonly text: string;
  /** `SHA256:` and 43 characters, as `ssh-keygen -l` prints it. */
  readonly fingerprint: string;
  /** The 32 bytes of RFC 8032. */
  readonly raw: Uint8Array;
  /** The same key, ready for node:crypto. */
  readonly object: KeyObject;
}

// A key whose point has a small order lets anyone make signatures that verify for many messages. These are the y of the points of
// order 1, 2, 4 and 8 (with the sign bit cleared), then the two of them that also have a second encoding, y + p. They were
// computed from the curve equation of RFC 8032, section 5.1, and its group order.
const smallOrder: ReadonlySet<string> = new Set([
  '0000000000000000000000000000000000000000000000000000000000000000',
  '0100000000000000000000000000000000000000000000000000000000000000',
  '26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05',
  'c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a',
  'ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  'edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  'eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
]);

const isSmallOrder = (raw: Uint8Array): boolean => {
  const y = Buffer.from(raw);
  y[31] = (y[31] ?? 0) & 0x7f;
  return smallOrder.has(y.toString('hex'));
};

const keyBlob = (raw: Uint8Array): Buffer => Buffer.concat([sshString(keyType), sshString(raw)]);

/** The key as a signature or a key file holds it: the type, then the 32 bytes. */
export const blobOf = (key: PublicKey): Buffer => keyBlob(key.raw);

const notAKey = (code: string, what: string): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } =>
  err(wrong(code, what, 'Give an Ed25519 public key as `ssh-keygen -t ed25519` writes it: ssh-ed25519 AAAA…'));

/** A key from the 32 bytes of RFC 8032. Codes `key-length`, `key-weak`. */
export const keyFromRaw = (raw: Uint8Array): Outcome<PublicKey> => {
  if (raw.length !== 32) return notAKey('key-length', `an Ed25519 key has 32 bytes, this one has ${raw.length}`);
  if (isSmallOrder(raw)) return notAKey('key-weak', 'this key is of small order: anyone could sign for it');
  const blob = keyBlob(raw);
  return ok({
    text: `${keyType} ${blob.toString('base64')}`,
    fingerprint: `SHA256:${createHash('sha256').update(blob).digest('base64').slice(0, 43)}`,
    raw: Uint8Array.from(raw),
    object: createPublicKey({
      key: { kty: 'OKP', crv: 'Ed25519', x: Buffer.from(raw).toString('base64url') },
      format: 'jwk',
    }),
  });
};

/** A key from the blob of a signature or a key line. Codes `key-malformed`, `key-type`, `key-length`, `key-weak`. */
export const keyFromBlob = (blob: Uint8Array): Outcome<PublicKey> => {
  const reader = wireReader(blob);
  const type = reader.name();
  if (type === undefined) return notAKey('key-malformed', 'the key is cut short');
  if (type !== keyType) return notAKey('key-type', `the key is of type ${type}; only ${keyType} is read`);
  const raw = reader.string();
  if (raw === undefined) return notAKey('key-malformed', 'the key is cut short');
  if (!reader.atEnd()) return notAKey('key-malformed', 'the key has bytes after its end');
  return keyFromRaw(raw);
};

/** A key from a line `ssh-ed25519 AAAA… comment`; the comment is dropped. Codes as `keyFromBlob`. */
export const readKeyLine = (line: string): Outcome<PublicKey> => {
  const [type = '', encoded = ''] = line.trim().split(/[ \t]+/);
  if (type !== keyType) return notAKey('key-type', `the key is of type ${type || '(none)'}; only ${keyType} is read`);
  const blob = readBase64(encoded);
  return blob === undefined || blob.length === 0
    ? notAKey('key-malformed', 'the key is not base64')
    : keyFromBlob(blob);
};

const fingerprintForm = /^SHA256:[A-Za-z0-9+/]{42}[AEIMQUYcgkosw048]$/;

/** True for text that has the form of a fingerprint. */
export const isFingerprint = (text: string): boolean => fingerprintForm.test(text);
