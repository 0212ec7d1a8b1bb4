import bcrypt from 'bcrypt-pbkdf';
import { createDecipheriv } from 'node:crypto';
import { wireReader } from '../proof/wire.ts';

/*
 * How OpenSSH puts the private part of a key file under a passphrase, PROTOCOL.key: bcrypt_pbkdf makes a key and a first block of the
 * passphrase, with which a cipher of the transport protocol encrypts.
 */

interface Cipher {
  /** The name in node:crypto. */
  readonly name: 'aes-128-ctr' | 'aes-192-ctr' | 'aes-256-ctr' | 'aes-128-cbc' | 'aes-192-cbc' | 'aes-256-cbc';
  readonly key: number;
}

/** In bytes; every one of them has blocks of 16. */
const ciphers: Readonly<Record<string, Cipher>> = {
  'aes256-ctr': { name: 'aes-256-ctr', key: 32 },
  'aes192-ctr': { name: 'aes-192-ctr', key: 24 },
  'aes128-ctr': { name: 'aes-128-ctr', key: 16 },
  'aes256-cbc': { name: 'aes-256-cbc', key: 32 },
  'aes192-cbc': { name: 'aes-192-cbc', key: 24 },
  'aes128-cbc': { name: 'aes-128-cbc', key: 16 },
};
const sealing: Readonly<Record<string, { readonly name: 'aes-128-gcm' | 'aes-256-gcm'; readonly key: number }>> = {
  'aes256-gcm@openssh.com': { name: 'aes-256-gcm', key: 32 },
  'aes128-gcm@openssh.com': { name: 'aes-128-gcm', key: 16 },
};

/** What is encrypted is padded to this, in bytes. */
export const lockBlock = 16;
const gcmNonce = 12;
/** The length of what follows the encrypted part and proves it, in bytes. */
const gcmTag = 16;

/**
 * A file may ask for no more. A round takes some 17 ms here, `ssh-keygen` makes 16 or 24 of them unless it is told otherwise: a hostile
 * file must not keep the bench busy for longer than a quarter of a minute. Common practice, no source.
 */
export const mostRounds = 1000;
const mostSalt = 64;

/** What stands in the clear about a locked private part. */
export interface KeyLock {
  readonly cipher: string;
  readonly kdf: string;
  readonly options: Uint8Array;
}

/** How many bytes follow the encrypted part; `undefined` where the lock is of a kind that is not opened here. */
export const tagLength = ({ cipher, kdf }: KeyLock): number | undefined => {
  if (kdf !== 'bcrypt') return undefined;
  if (Object.hasOwn(sealing, cipher)) return gcmTag;
  return Object.hasOwn(ciphers, cipher) ? 0 : undefined;
};

interface Turning {
  readonly salt: Buffer;
  readonly rounds: number;
}

const turningOf = ({ options }: KeyLock): Turning | undefined => {
  const reader = wireReader(options);
  const salt = reader.string();
  const rounds = reader.uint32();
  return salt !== undefined && rounds !== undefined && reader.atEnd() && salt.length > 0 && salt.length <= mostSalt
    ? { salt, rounds }
    : undefined;
};

/** Why a lock is not even tried: its own numbers are damaged, or ask for too much work. */
export const lockFlaw = (lock: KeyLock): string | undefined => {
  const turning = turningOf(lock);
  if (turning === undefined || turning.rounds < 1) return 'what it says of its passphrase is damaged';
  return turning.rounds > mostRounds
    ? `it asks for ${turning.rounds} rounds of bcrypt, and ${mostRounds} are the most that dryfit does`
    : undefined;
};

/** The decrypted part; `undefined` where it cannot be right. `tag` is what follows the encrypted part. */
export const openLock = (
  lock: KeyLock,
  passphrase: string,
  sealed: Uint8Array,
  tag: Uint8Array,
): Uint8Array | undefined => {
  const turning = turningOf(lock);
  const sealer = Object.hasOwn(sealing, lock.cipher) ? sealing[lock.cipher] : undefined;
  const cipher = Object.hasOwn(ciphers, lock.cipher) ? ciphers[lock.cipher] : undefined;
  const length = sealer?.key ?? cipher?.key;
  if (turning === undefined || length === undefined) return undefined;
  const typed = Buffer.from(passphrase, 'utf8');
  const made = Buffer.alloc(length + (sealer ? gcmNonce : lockBlock));
  const { salt, rounds } = turning;
  if (bcrypt.pbkdf(typed, typed.length, salt, salt.length, made, made.length, rounds) !== 0) return undefined;
  const [key, first] = [made.subarray(0, length), made.subarray(length)];
  try {
    if (sealer) {
      const opener = createDecipheriv(sealer.name, key, first, { authTagLength: gcmTag });
      opener.setAuthTag(tag);
      return Buffer.concat([opener.update(sealed), opener.final()]);
    }
    if (cipher === undefined) return undefined;
    const opener = createDecipheriv(cipher.name, key, first);
    opener.setAutoPadding(false);
    return Buffer.concat([opener.update(sealed), opener.final()]);
  } catch {
    return undefined;
  }
};
