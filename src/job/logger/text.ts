/** A file's text: UTF-8, UTF-16 where it says so, else the one-byte letters that older loggers write (their ° is one byte). */
export const textOfBytes = (bytes: Uint8Array): string => {
  const [one, two] = bytes;
  if (one === 0xff && two === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  try {
    // the decoder takes a mark of byte order away
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('latin1').decode(bytes);
  }
};
