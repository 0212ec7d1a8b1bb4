import { createHash, verify } from 'node:crypto';
import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { readArmor, writeArmor } from './armor.ts';
import { blobOf, keyFromBlob, keyType, type PublicKey } from './keys.ts';
import { sshString, uint32, wireReader, type WireReader } from './wire.ts';

/*
 * The signature format of OpenSSH (PROTOCOL.sshsig). The key does not sign the message itself but a short text that binds the
 * hash of the message to a namespace, so that a signature made for one purpose is not valid for another.
 */

const magic = 'SSHSIG';
const version = 1;
const hashes = ['sha256', 'sha512'] as const;

/** The hash of the message inside the signed text. dryfit makes `sha512` only, and reads both that OpenSSH makes. */
export type SignatureHash = (typeof hashes)[number];

/** The namespace of each purpose. A signature for one is never accepted for another. */
export const namespaces = { record: 'dryfit-record', entry: 'dryfit-entry', hold: 'dryfit-hold' } as const;

/** The parts of a signature; none of them is verified yet. */
export interface SshSignature {
  readonly key: PublicKey;
  readonly namespace: string;
  readonly hash: SignatureHash;
  /** The 64 bytes of RFC 8032. */
  readonly raw: Uint8Array;
}

/** The bytes that the key signs for a message: PROTOCOL.sshsig section 3, with the reserved field empty. */
export const signedData = (namespace: string, message: Uint8Array | string, hash: SignatureHash = 'sha512'): Buffer =>
  Buffer.concat([
    Buffer.from(magic),
    sshString(namespace),
    sshString(''),
    sshString(hash),
    sshString(createHash(hash).update(message).digest()),
  ]);

/** The same for many messages of one purpose whose SHA-512 is known. Each call overwrites the bytes that the last one returned. */
export const signedDigest = (namespace: string): ((digest: Uint8Array) => Uint8Array) => {
  const bytes = signedData(namespace, '');
  return (digest) => {
    bytes.set(digest, bytes.length - digest.length);
    return bytes;
  };
};

const flawed = (code: string, what: string, todo = 'Ask the person who signed for it again'): Fault =>
  wrong(code, what, todo);

const short = err(flawed('signature-malformed', 'the signature is cut short'));

/** The two innermost fields: the type once more, and the 64 bytes. */
const readRaw = (blob: Uint8Array): Outcome<Uint8Array> => {
  const inner = wireReader(blob);
  const type = inner.name();
  const raw = inner.string();
  if (type === undefined || raw === undefined) return short;
  if (type !== keyType) return err(flawed('signature-type', `the signature is of type ${type}, not ${keyType}`));
  if (!inner.atEnd()) return err(flawed('signature-malformed', 'the signature has bytes after its end'));
  return raw.length === 64
    ? ok(raw)
    : err(flawed('signature-length', `an Ed25519 signature has 64 bytes, this one has ${raw.length}`));
};

const readHead = (reader: WireReader): Outcome<true> => {
  if (reader.bytes(magic.length)?.toString('latin1') !== magic)
    return err(flawed('signature-malformed', `the signature does not begin with ${magic}`));
  const found = reader.uint32();
  if (found === undefined) return short;
  return found === version
    ? ok(true)
    : err(flawed('signature-version', `the signature is of version ${found}; only ${version} is read`));
};

/** Reads the blob of a signature. Every fault has its own code, `signature-…` or `key-…`. */
export const readSignature = (blob: Uint8Array): Outcome<SshSignature> => {
  const reader = wireReader(blob);
  const head = readHead(reader);
  if (!head.ok) return head;
  const keyBytes = reader.string();
  const namespace = reader.name();
  const reserved = reader.string(); // a field that PROTOCOL.sshsig says to ignore
  const hash = reader.name();
  const signature = reader.string();
  if (keyBytes === undefined || namespace === undefined || reserved === undefined) return short;
  if (hash === undefined || signature === undefined) return short;
  if (!reader.atEnd()) return err(flawed('signature-malformed', 'the signature has bytes after its end'));
  if (namespace === '') return err(flawed('signature-namespace', 'the signature names no namespace'));
  const known = hashes.find((name) => name === hash);
  if (known === undefined) return err(flawed('signature-hash', `the signature hashes with ${hash}`));
  const key = keyFromBlob(keyBytes);
  if (!key.ok) return key;
  const raw = readRaw(signature);
  return raw.ok ? ok({ key: key.value, namespace, hash: known, raw: raw.value }) : raw;
};

/** The blob of PROTOCOL.sshsig for 64 bytes, which dryfit makes with `sha512`. `ssh-keygen` reads it in its armour. */
export const signatureBlob = (
  raw: Uint8Array,
  key: PublicKey,
  namespace: string,
  hash: SignatureHash = 'sha512',
): Buffer =>
  Buffer.concat([
    Buffer.from(magic),
    uint32(version),
    sshString(blobOf(key)),
    sshString(namespace),
    sshString(''),
    sshString(hash),
    sshString(Buffer.concat([sshString(keyType), sshString(raw)])),
  ]);

/** The 64 bytes of a journal line in their armour, for whoever wants to verify a line with `ssh-keygen`. */
export const armored = (raw: Uint8Array, key: PublicKey, namespace: string): string =>
  writeArmor(signatureBlob(raw, key, namespace));

/** An armoured signature as it was read: the key that it names, and whether its text is as `ssh-keygen -Y sign` writes it. */
export interface SignatureText {
  /** Fingerprint. */
  readonly key: string;
  readonly isAsWritten: boolean;
}

/**
 * Reads an armoured signature without verifying it. White space, line lengths and the reserved field are no part of what is signed, so
 * a text may be changed and still verify: a file that nobody has touched is byte for byte as it was written.
 * Codes `signature-armour`, those of `readSignature`.
 */
export const readSignatureText = (text: string): Outcome<SignatureText> => {
  const blob = readArmor(text);
  if (!blob.ok) return blob;
  const signature = readSignature(blob.value);
  if (!signature.ok) return signature;
  const { key, namespace, hash, raw } = signature.value;
  const written = writeArmor(signatureBlob(raw, key, namespace, hash));
  return ok({ key: key.fingerprint, isAsWritten: written === text });
};

const verifies = (data: Uint8Array, key: PublicKey, raw: Uint8Array): boolean =>
  raw.length === 64 && verify(null, data, key.object, raw);

/** Verifies the 64 bytes of a journal line, whose hash is `sha512`. Code `signature-false`. */
export const verifyRaw = (
  raw: Uint8Array,
  key: PublicKey,
  namespace: string,
  message: Uint8Array | string,
): Outcome<PublicKey> =>
  verifies(signedData(namespace, message), key, raw)
    ? ok(key)
    : err(flawed('signature-false', `the signature is not that of ${key.fingerprint} over this text`));

/**
 * Verifies an armoured signature over a message, and gives the key that made it, which is one of `keys`.
 * Codes: `signature-armour`, those of `readSignature`, then `signature-namespace`, `signature-key` (none of the keys),
 * `signature-false`.
 */
export const verifySshsig = (
  text: string,
  message: Uint8Array | string,
  namespace: string,
  keys: readonly PublicKey[],
): Outcome<PublicKey> => {
  const blob = readArmor(text);
  if (!blob.ok) return blob;
  const signature = readSignature(blob.value);
  if (!signature.ok) return signature;
  const { key, hash, raw } = signature.value;
  if (signature.value.namespace !== namespace) {
    const what = `signed for ${signature.value.namespace}, not for ${namespace}`;
    return err(flawed('signature-namespace', what, `Sign it again with \`ssh-keygen -Y sign -n ${namespace}\``));
  }
  const known = keys.find((candidate) => candidate.fingerprint === key.fingerprint);
  if (known === undefined)
    return err(flawed('signature-key', `signed by ${key.fingerprint}, a key that is not known here`));
  return verifies(signedData(namespace, message, hash), known, raw)
    ? ok(known)
    : err(flawed('signature-false', `the signature is not that of ${key.fingerprint} over this text`));
};
