import crypto from 'node:crypto';

const slowHex = (data: Uint8Array | string): string => crypto.createHash('sha256').update(data).digest('hex');
const quickHex = (data: Uint8Array | string): string => crypto.hash('sha256', data, 'hex');

/**
 * SHA-256 as 64 lower-case hexadecimal digits. Text is hashed as UTF-8.
 * crypto.hash takes half the time on a line of a journal, but came only with Node 20.12.
 */
export const sha256Hex: (data: Uint8Array | string) => string = typeof crypto.hash === 'function' ? quickHex : slowHex;

/** SHA-512, 64 bytes; see `sha256Hex`. */
export const sha512: (data: Uint8Array | string) => Uint8Array =
  typeof crypto.hash === 'function'
    ? (data) => crypto.hash('sha512', data, 'buffer')
    : (data) => crypto.createHash('sha512').update(data).digest();

const hex64 = /^[0-9a-f]{64}$/;

/** True for a hash as this file writes it. */
export const isHash = (text: string): boolean => hex64.test(text);
