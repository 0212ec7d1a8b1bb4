/** The data types of the SSH protocol (RFC 4251, section 5), as far as keys and signatures use them. */

export const uint32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32BE(value);
  return bytes;
};

/** A `string`: its length in four bytes, most significant first, then its bytes. */
export const sshString = (value: Uint8Array | string): Buffer => {
  const bytes = typeof value === 'string' ? Buffer.from(value, 'utf8') : value;
  return Buffer.concat([uint32(bytes.length), bytes]);
};

/** Reads one value after another. Each gives `undefined` once too few bytes are left. `length` is in bytes. */
export interface WireReader {
  bytes(length: number): Buffer | undefined;
  uint32(): number | undefined;
  string(): Buffer | undefined;
  /** A `string` of printable ASCII, as names are. */
  name(): string | undefined;
  /** True when everything has been read. */
  atEnd(): boolean;
}

const printable = /^[\x20-\x7e]*$/;

export const wireReader = (data: Uint8Array): WireReader => {
  const view = Buffer.from(data.buffer, data.byteOffset, data.byteLength);
  let at = 0;
  const bytes = (length: number): Buffer | undefined => {
    if (length > view.length - at) return undefined;
    at += length;
    return view.subarray(at - length, at);
  };
  const number = (): number | undefined => bytes(4)?.readUInt32BE();
  const string = (): Buffer | undefined => {
    const length = number();
    return length === undefined ? undefined : bytes(length);
  };
  const name = (): string | undefined => {
    const text = string()?.toString('latin1');
    return text !== undefined && printable.test(text) ? text : undefined;
  };
  return { bytes, uint32: number, string, name, atEnd: () => at === view.length };
};

/**
 * Decodes base64 with padding, in its one spelling: no spaces, no other alphabet, no loose bits at the end. `undefined` for
 * anything else.
 */
export const readBase64 = (text: string): Buffer | undefined => {
  const bytes = Buffer.from(text, 'base64');
  return bytes.toString('base64') === text ? bytes : undefined;
};
