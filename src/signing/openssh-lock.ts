import bcrypt from 'bcrypt-pbkdf';
import { createCipheriv, createDecipheriv } from 'node:crypto';
import { sshString, uint32, wireReader } from '../proof/wire.ts';
import { composedPassphrase, type Random } from './secret.ts';

/*
 * How OpenSSH puts the private part of a key file under a passphrase (PROTOCOL.key): bcrypt_pbkdf derives a key and a first block from the
 * passphrase, and a cipher of the transport protocol encrypts with them.
 */

interface Cipher {
  /** The name in node:crypto. */
  readonly name: 'aes-128-ctr' | 'aes-192-ctr' | 'aes-256-ctr' | 'aes-128-cbc' | 'aes-192-cbc' | 'aes-256-cbc';
  /** The length of its key, in bytes. Every one of these ciphers has blocks of 16 bytes. */
  readonly key: number;
}

const ciphers: Readonly<Record<string, Cipher>> = {
  'aes256-ctr': { name: 'aes-256-ctr', key: 32 },
  'aes192-ctr': { name: 'aes-192-ctr', key: 24 },
  'aes128-ctr': { name: 'aes-128-ctr', key: 16 },
  'aes256-cbc': { name: 'aes-256-cbc', key: 32 },
  'aes192-cbc': { name: 'aes-192-cbc', key: 24 },
  'aes128-cbc': { name: 'aes-128-cbc', key: 16 },
};

interface SealingCipher {
  readonly name: 'aes-128-gcm' | 'aes-256-gcm';
  /** In bytes. */
  readonly key: number;
}

/** These put a tag behind the encrypted part, which proves that nobody has changed it. */
const sealing: Readonly<Record<string, SealingCipher>> = {
  'aes256-gcm@openssh.com': { name: 'aes-256-gcm', key: 32 },
  'aes128-gcm@openssh.com': { name: 'aes-128-gcm', key: 16 },
};

/** What is encrypted is padded to a multiple of this, in bytes. */
export const lockBlock = 16;
/** In bytes. */
const gcmNonce = 12;
/** In bytes. */
const gcmTag = 16;

/** What dryfit locks with: ssh-keygen's own choice where it is not told otherwise (ssh-keygen(1), option -Z). */
const ownCipher = 'aes256-ctr';
const ownKdf = 'bcrypt';
/** The length of a new salt, in bytes, as ssh-keygen makes it. */
const ownSalt = 16;

/**
 * The rounds of bcrypt that dryfit locks a key with: as many as ssh-keygen makes by default (ssh-keygen(1), option -a: 24 since
 * OpenSSH 9.4, 16 before; from memory). Measured on two slow cores, 24 rounds take 0.3 to 0.4 s in JavaScript, no longer than a person
 * waits for after typing a passphrase, and about as long as the scrypt of the older format took.
 */
export const defaultRounds = 24;

/**
 * A file may ask for no more rounds. At some 15 ms a round, a hostile file keeps the bench busy for a quarter of a minute at
 * the most. Common practice, no source.
 */
export const mostRounds = 1000;
/** In bytes. */
const mostSalt = 64;

/** What a key file says in the clear about how its private part is locked. */
export interface KeyLock {
  readonly cipher: string;
  readonly kdf: string;
  readonly options: Uint8Array;
}

/** How many bytes follow the encrypted part; `undefined` where the lock is of a kind that is not opened here. */
export const tagLength = ({ cipher, kdf }: KeyLock): number | undefined => {
  if (kdf !== ownKdf) return undefined;
  if (Object.hasOwn(sealing, cipher)) return gcmTag;
  return Object.hasOwn(ciphers, cipher) ? 0 : undefined;
};

interface KdfOptions {
  readonly salt: Uint8Array;
  readonly rounds: number;
}

const readKdfOptions = ({ options }: KeyLock): KdfOptions | undefined => {
  const reader = wireReader(options);
  const salt = reader.string();
  const rounds = reader.uint32();
  return salt !== undefined && rounds !== undefined && reader.atEnd() && salt.length > 0 && salt.length <= mostSalt
    ? { salt, rounds }
    : undefined;
};

/** Why opening a lock is not even tried: its own numbers are damaged, or ask for too much work. */
export const lockFlaw = (lock: KeyLock): string | undefined => {
  const kdf = readKdfOptions(lock);
  if (kdf === undefined || kdf.rounds < 1) return 'what it says of its passphrase is damaged';
  return kdf.rounds > mostRounds
    ? `it asks for ${kdf.rounds} rounds of bcrypt, and ${mostRounds} are the most that dryfit does`
    : undefined;
};

interface Derived {
  readonly key: Uint8Array;
  /** The first block, or the nonce. */
  readonly iv: Uint8Array;
}

/** `undefined` for an empty passphrase. `keyLength` and `ivLength` are in bytes. */
const derive = (
  passphrase: string,
  { salt, rounds }: KdfOptions,
  keyLength: number,
  ivLength: number,
): Derived | undefined => {
  const typed = Buffer.from(passphrase, 'utf8');
  const made = Buffer.alloc(keyLength + ivLength);
  if (bcrypt.pbkdf(typed, typed.length, salt, salt.length, made, made.length, rounds) !== 0) return undefined;
  return { key: made.subarray(0, keyLength), iv: made.subarray(keyLength) };
};

const decrypt = (
  cipher: string,
  passphrase: string,
  kdf: KdfOptions,
  sealed: Uint8Array,
  tag: Uint8Array,
): Uint8Array | undefined => {
  const sealer = Object.hasOwn(sealing, cipher) ? sealing[cipher] : undefined;
  if (sealer) {
    const made = derive(passphrase, kdf, sealer.key, gcmNonce);
    if (made === undefined) return undefined;
    const opener = createDecipheriv(sealer.name, made.key, made.iv, { authTagLength: gcmTag });
    opener.setAuthTag(tag);
    return Buffer.concat([opener.update(sealed), opener.final()]);
  }
  const plain = Object.hasOwn(ciphers, cipher) ? ciphers[cipher] : undefined;
  const made = plain && derive(passphrase, kdf, plain.key, lockBlock);
  if (plain === undefined || made === undefined) return undefined;
  const opener = createDecipheriv(plain.name, made.key, made.iv);
  opener.setAutoPadding(false);
  return Buffer.concat([opener.update(sealed), opener.final()]);
};

/** The decrypted part; `undefined` where it cannot be right. `tag` is what follows the encrypted part. */
export const openLock = (
  lock: KeyLock,
  passphrase: string,
  sealed: Uint8Array,
  tag: Uint8Array,
): Uint8Array | undefined => {
  const kdf = readKdfOptions(lock);
  if (kdf === undefined) return undefined;
  try {
    return decrypt(lock.cipher, passphrase, kdf, sealed, tag);
  } catch {
    return undefined; // node:crypto throws where the tag does not fit
  }
};

/** A passphrase, and what is needed to lock with it. */
export interface NewLock {
  /** Not empty. */
  readonly passphrase: string;
  readonly random: Random;
  /** Of bcrypt; `defaultRounds` unless a test asks for fewer. */
  readonly rounds?: number;
}

/** Encrypts a private part, padded to `lockBlock`, as ssh-keygen does. An empty passphrase is a bug, and throws. */
export const closeLock = (
  padded: Uint8Array,
  { passphrase, random, rounds = defaultRounds }: NewLock,
): { readonly lock: KeyLock; readonly sealed: Uint8Array } => {
  const salt = random(ownSalt);
  const { name, key } = ciphers[ownCipher] as Cipher;
  const made = derive(composedPassphrase(passphrase), { salt, rounds }, key, lockBlock);
  if (made === undefined) throw new Error('a key cannot be locked with an empty passphrase');
  const sealer = createCipheriv(name, made.key, made.iv);
  sealer.setAutoPadding(false);
  const options = Buffer.concat([sshString(salt), uint32(rounds)]);
  return {
    lock: { cipher: ownCipher, kdf: ownKdf, options },
    sealed: Buffer.concat([sealer.update(padded), sealer.final()]),
  };
};
