import { createDecipheriv, scryptSync } from 'node:crypto';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { canonicalJson, isJsonObject, type Json, type JsonObject } from '../proof/canonical.ts';
import { isFingerprint } from '../proof/keys.ts';
import { readBase64 } from '../proof/wire.ts';
import { composedPassphrase, secretFromSeed, wrongPassphrase, type LockedKey, type SecretKey } from './secret.ts';

/*
 * The format in which dryfit once kept a private key under a passphrase: JSON whose `sealed` is the seed, encrypted with AES-256-GCM under
 * a key that scrypt (RFC 7914) derives from the passphrase. It is only read here, never written: a key that opens is rewritten in
 * OpenSSH's format (workshop/keys/open-key.ts).
 */

const envelopeName = 'dryfit-key';
const cipher = 'aes-256-gcm';
/** In characters; a longer text is refused unread. */
const maxEnvelope = 4096;
/** In bytes. */
const lengths = { seed: 32, tag: 16, salt: 16, nonce: 12 } as const;

/** scrypt's parameters: N = 2^`log2N`, r, p. It takes 128·N·r bytes of memory. */
interface Cost {
  readonly log2N: number;
  readonly r: number;
  readonly p: number;
}

/**
 * The most that an envelope may ask for, 256 MiB and some two seconds, so that a hostile one can neither take the machine's memory nor keep
 * the bench waiting. Common practice, no source.
 */
const maxCost: Cost = { log2N: 18, r: 8, p: 2 };

interface Envelope {
  readonly cost: Cost;
  readonly salt: Buffer;
  readonly nonce: Buffer;
  readonly sealed: Buffer;
  readonly fingerprint: string;
  /** Everything but `sealed`, in canonical form. The tag authenticates it together with the seed. */
  readonly head: string;
}

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

/** @param length in bytes. */
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

const parseEnvelope = (text: string): Outcome<Envelope> => {
  const json = text.length > maxEnvelope ? undefined : parse(text);
  if (json?.['kind'] !== envelopeName) return damaged('not a key file of dryfit');
  if (json['v'] !== 1 || json['cipher'] !== cipher) return damaged('this key file was made by another version');
  const { sealed: sealedText, ...head } = json;
  const cost = costOf(json['scrypt']);
  const salt = bytesOf(json['salt'], lengths.salt);
  const nonce = bytesOf(json['nonce'], lengths.nonce);
  const sealed = bytesOf(sealedText, lengths.seed + lengths.tag);
  const fingerprint = json['key'];
  if (cost === undefined) return damaged('the key file asks for more memory than a key may, or does not say');
  if (salt === undefined || nonce === undefined || sealed === undefined) return damaged('the key file is damaged');
  if (typeof fingerprint !== 'string' || !isFingerprint(fingerprint)) return damaged('the key file is damaged');
  return ok({ cost, salt, nonce, sealed, fingerprint, head: canonicalJson(head) });
};

/** The key that scrypt derives, unless the machine lacks the memory: nothing else makes it fail. */
const derive = (passphrase: string, { salt, cost }: Envelope): Outcome<Buffer> => {
  const { log2N, r, p } = cost;
  const memory = 128 * 2 ** log2N * r;
  try {
    return ok(scryptSync(composedPassphrase(passphrase), salt, 32, { N: 2 ** log2N, r, p, maxmem: 2 * memory }));
  } catch {
    return err(
      usage(
        'key-memory',
        `opening this key takes ${memory / 2 ** 20} MiB, which are not free here`,
        'close something else',
      ),
    );
  }
};

const decrypt = ({ nonce, head, sealed }: Envelope, key: Buffer): Uint8Array | undefined => {
  const opener = createDecipheriv(cipher, key, nonce, { authTagLength: lengths.tag });
  opener.setAAD(Buffer.from(head));
  opener.setAuthTag(sealed.subarray(lengths.seed));
  try {
    return Buffer.concat([opener.update(sealed.subarray(0, lengths.seed)), opener.final()]);
  } catch {
    return undefined;
  }
};

const unlockEnvelope = (envelope: Envelope, passphrase: string): Outcome<SecretKey> => {
  const key = derive(passphrase, envelope);
  if (!key.ok) return key;
  const seed = decrypt(envelope, key.value);
  if (seed === undefined) return wrongPassphrase;
  const secret = secretFromSeed(seed);
  return secret.publicKey.fingerprint === envelope.fingerprint
    ? ok(secret)
    : damaged('the key file names another key than it holds');
};

/** True for text that claims to be such an envelope. */
export const isScryptEnvelope = (text: string): boolean => text.startsWith('{') && text.includes(`"${envelopeName}"`);

/**
 * Reads an envelope. Codes: `key-file` (damaged, or it asks for too much). Unlocking takes about half a second and 128 MiB; beside
 * the codes of every locked key it gives `key-memory`.
 */
export const readScryptEnvelope = (text: string): Outcome<LockedKey> => {
  const envelope = parseEnvelope(text);
  if (!envelope.ok) return envelope;
  const unlock = (passphrase: string): Outcome<SecretKey> => unlockEnvelope(envelope.value, passphrase);
  return ok({ kind: 'locked', format: 'scrypt', fingerprint: envelope.value.fingerprint, unlock });
};
