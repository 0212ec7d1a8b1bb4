/**
 * The text of a file: UTF-8, or UTF-16 where a byte order mark says so, else the one-byte encoding of older loggers (in which ° is one
 * byte).
 */
export const textOfBytes = (bytes: Uint8Array): string => {
  const [one, two] = bytes;
  if (one === 0xff && two === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  try {
    // The decoder removes the byte order mark.
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('latin1').decode(bytes);
  }
};
