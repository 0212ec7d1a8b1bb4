import crypto from 'node:crypto';

/** SHA-256 and SHA-512 by what a Node has: `crypto.hash` takes half the time on a line of a journal, but came only with Node 20.12. */
export const hashesBy = ({
  hash,
  createHash,
}: {
  readonly hash?: typeof crypto.hash | undefined;
  readonly createHash: typeof crypto.createHash;
}): {
  readonly hex: (data: Uint8Array | string) => string;
  readonly long: (data: Uint8Array | string) => Uint8Array;
} =>
  hash === undefined
    ? {
        hex: (data) => createHash('sha256').update(data).digest('hex'),
        long: (data) => createHash('sha512').update(data).digest(),
      }
    : { hex: (data) => hash('sha256', data, 'hex'), long: (data) => hash('sha512', data, 'buffer') };

const hashes = hashesBy(crypto);

/** SHA-256 as 64 lower-case hexadecimal digits. Text is hashed as UTF-8. */
export const sha256Hex = hashes.hex;

/** SHA-512, 64 bytes. Text is hashed as UTF-8. */
export const sha512 = hashes.long;

const hex64 = /^[0-9a-f]{64}$/;

/** True for a hash as this file writes it. */
export const isHash = (text: string): boolean => hex64.test(text);
