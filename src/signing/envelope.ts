import { createCipheriv, createDecipheriv, scryptSync } from 'node:crypto';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { canonicalJson, isJsonObject, type Json, type JsonObject } from '../proof/canonical.ts';
import { isFingerprint } from '../proof/keys.ts';
import { readBase64 } from '../proof/wire.ts';
import { secretFromSeed, wrongPassphrase, type Random, type SecretKey } from './secret.ts';

/*
 * A private key under a passphrase: the seed, encrypted with AES-256-GCM under a key that scrypt (RFC 7914) makes of the
 * passphrase. All that is not secret stands beside it in plain JSON and is authenticated with it.
 */

/** scrypt's parameters: N = 2^`log2N`, r, p. Memory is 128·N·r bytes. */
export interface Cost {
  readonly log2N: number;
  readonly r: number;
  readonly p: number;
}

/** The least that the OWASP Password Storage Cheat Sheet (section scrypt) asks for: 128 MiB, and about half a second here. */
export const defaultCost: Cost = { log2N: 17, r: 8, p: 1 };
/**
 * An envelope may ask for no more than this, 256 MiB and some two seconds: a hostile one must not take the machine's memory, nor keep the
 * bench waiting. Common practice, no source.
 */
export const maxCost: Cost = { log2N: 18, r: 8, p: 2 };

const envelopeName = 'dryfit-key';
const cipher = 'aes-256-gcm';
/** Longer text is refused unread, in characters. */
const maxEnvelope = 4096;

interface Envelope {
  readonly cost: Cost;
  readonly salt: Buffer;
  readonly nonce: Buffer;
  readonly sealed: Buffer;
  readonly fingerprint: string;
  /** Everything but the encrypted seed, in canonical form: authenticated with it. */
  readonly head: string;
}

// the same passphrase typed on another keyboard may come as other code points
const derive = (passphrase: string, salt: Uint8Array, { log2N, r, p }: Cost): Buffer =>
  scryptSync(passphrase.normalize('NFC'), salt, 32, { N: 2 ** log2N, r, p, maxmem: 256 * 2 ** log2N * r });

/** A private key under a passphrase, as the text of a file. `cost` is for tests; a person's key takes the default. */
export const lockKey = (secret: SecretKey, passphrase: string, random: Random, cost: Cost = defaultCost): string => {
  const salt = random(16);
  const nonce = random(12);
  const head = {
    cipher,
    key: secret.publicKey.fingerprint,
    kind: envelopeName,
    nonce: Buffer.from(nonce).toString('base64'),
    salt: Buffer.from(salt).toString('base64'),
    scrypt: { log2N: cost.log2N, p: cost.p, r: cost.r },
    v: 1,
  };
  const lock = createCipheriv(cipher, derive(passphrase, salt, cost), nonce);
  lock.setAAD(Buffer.from(canonicalJson(head)));
  const sealed = Buffer.concat([lock.update(secret.seed), lock.final(), lock.getAuthTag()]);
  return `${canonicalJson({ ...head, sealed: sealed.toString('base64') })}\n`;
};

const damaged = (what: string): { readonly ok: false; readonly fault: Fault } =>
  err(usage('key-file', what, 'Take the key file back from a copy, or introduce a new key'));

const costOf = (value: Json | undefined): Cost | undefined => {
  if (value === undefined || !isJsonObject(value)) return undefined;
  const within = (name: keyof Cost): boolean => {
    const number = value[name];
    return Number.isInteger(number) && (number as number) >= 1 && (number as number) <= maxCost[name];
  };
  return within('log2N') && within('r') && within('p') ? (value as unknown as Cost) : undefined;
};

const bytesOf = (value: Json | undefined, length: number): Buffer | undefined => {
  const bytes = typeof value === 'string' ? readBase64(value) : undefined;
  return bytes?.length === length ? bytes : undefined;
};

const parse = (text: string): JsonObject | undefined => {
  try {
    const value = JSON.parse(text) as Json;
    return isJsonObject(value) ? value : undefined;
  } catch {
    return undefined;
  }
};

const readEnvelope = (text: string): Outcome<Envelope> => {
  const json = text.length > maxEnvelope ? undefined : parse(text);
  if (json?.['kind'] !== envelopeName) return damaged('not a key file of dryfit');
  if (json['v'] !== 1 || json['cipher'] !== cipher) return damaged('this key file was made by another version');
  const { sealed: sealedText, ...head } = json;
  const cost = costOf(json['scrypt']);
  const salt = bytesOf(json['salt'], 16);
  const nonce = bytesOf(json['nonce'], 12);
  const sealed = bytesOf(sealedText, 32 + 16);
  const fingerprint = json['key'];
  if (cost === undefined) return damaged('the key file asks for more memory than a key may, or does not say');
  if (salt === undefined || nonce === undefined || sealed === undefined) return damaged('the key file is damaged');
  if (typeof fingerprint !== 'string' || !isFingerprint(fingerprint)) return damaged('the key file is damaged');
  return ok({ cost, salt, nonce, sealed, fingerprint, head: canonicalJson(head) });
};

/** True for text that claims to be a private key under a passphrase of ours. */
export const isEnvelope = (text: string): boolean => text.startsWith('{') && text.includes(`"${envelopeName}"`);

/** Whose key an envelope holds, without opening it: its fingerprint. Code `key-file`. */
export const envelopeFingerprint = (text: string): Outcome<string> => {
  const envelope = readEnvelope(text);
  return envelope.ok ? ok(envelope.value.fingerprint) : envelope;
};

/** The same where the machine may not have the memory; nothing else makes it fail. */
const deriveHere = (passphrase: string, { salt, cost }: Envelope): Outcome<Buffer> => {
  try {
    return ok(derive(passphrase, salt, cost));
  } catch {
    const need = (128 * 2 ** cost.log2N * cost.r) / 2 ** 20;
    return err(
      usage('key-memory', `opening this key takes ${need} MiB, which are not free here`, 'close something else'),
    );
  }
};

const open = (envelope: Envelope, key: Buffer): Uint8Array | undefined => {
  const lock = createDecipheriv(cipher, key, envelope.nonce, { authTagLength: 16 });
  lock.setAAD(Buffer.from(envelope.head));
  lock.setAuthTag(envelope.sealed.subarray(32));
  try {
    return Buffer.concat([lock.update(envelope.sealed.subarray(0, 32)), lock.final()]);
  } catch {
    return undefined;
  }
};

/**
 * Opens an envelope. Takes about half a second and 128 MiB, on purpose.
 * Codes: `key-file` (damaged, or asks for too much), `key-memory`, `passphrase` (wrong, or the file was changed: the two look alike).
 */
export const unlockKey = (text: string, passphrase: string): Outcome<SecretKey> => {
  const envelope = readEnvelope(text);
  if (!envelope.ok) return envelope;
  const key = deriveHere(passphrase, envelope.value);
  if (!key.ok) return key;
  const seed = open(envelope.value, key.value);
  if (seed === undefined) return wrongPassphrase;
  const secret = secretFromSeed(seed);
  return secret.publicKey.fingerprint === envelope.value.fingerprint
    ? ok(secret)
    : damaged('the key file names another key than it holds');
};
