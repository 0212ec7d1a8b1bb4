import { createHash } from 'node:crypto';

/** SHA-256 as 64 lower-case hexadecimal digits. Text is hashed as UTF-8. */
export const sha256Hex = (data: Uint8Array | string): string => createHash('sha256').update(data).digest('hex');

/** SHA-512, 64 bytes. Text is hashed as UTF-8. */
export const sha512 = (data: Uint8Array | string): Buffer => createHash('sha512').update(data).digest();

const hex64 = /^[0-9a-f]{64}$/;

/** True for a hash as the files here write it. */
export const isHash = (text: string): boolean => hex64.test(text);
