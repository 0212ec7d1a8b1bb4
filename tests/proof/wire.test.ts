import { describe, expect, it } from 'vitest';
import { readArmor, writeArmor } from '../../src/proof/armor.ts';
import { readBase64, sshString, uint32, wireReader } from '../../src/proof/wire.ts';
import { codeOf, valueOf } from './outcomes.ts';

describe('the data types of SSH (RFC 4251, section 5)', () => {
  it('are written as the standard’s own examples', () => {
    expect(uint32(699_921_578).toString('hex')).toBe('29b7f4aa');
    expect(sshString('testing').toString('hex')).toBe('0000000774657374696e67');
    expect(sshString('').toString('hex')).toBe('00000000');
    expect(sshString('é').toString('hex')).toBe('00000002c3a9');
    expect(sshString(Uint8Array.of(1, 2)).toString('hex')).toBe('000000020102');
  });

  it('are read one after another, to the last byte and no further', () => {
    const reader = wireReader(Buffer.concat([uint32(7), sshString('testing'), sshString('x'), Buffer.from([9, 8])]));
    expect(reader.uint32()).toBe(7);
    expect(reader.string()?.toString('utf8')).toBe('testing');
    expect(reader.name()).toBe('x');
    expect(reader.atEnd()).toBe(false);
    expect(reader.bytes(3)).toBeUndefined();
    expect(reader.bytes(2)).toEqual(Buffer.from([9, 8]));
    expect(reader.atEnd()).toBe(true);
    expect(reader.bytes(0)).toEqual(Buffer.alloc(0));
    expect([reader.uint32(), reader.string(), reader.name()]).toEqual([undefined, undefined, undefined]);
  });

  it('are read from a part of a larger buffer', () => {
    const whole = Buffer.concat([Buffer.from([1, 2, 3]), sshString('inside'), Buffer.from([4])]);
    const reader = wireReader(whole.subarray(3, 3 + 10));
    expect(reader.name()).toBe('inside');
    expect(reader.atEnd()).toBe(true);
  });

  it.each(['\u0000', 'a\u001f', '\u007f', 'é', 'a\n'])('a name is printable ASCII: %j is none', (text) => {
    expect(wireReader(sshString(text)).name()).toBeUndefined();
  });

  it('a name may hold every printable character', () => {
    const all = Array.from({ length: 95 }, (_, index) => String.fromCodePoint(32 + index)).join('');
    expect(wireReader(sshString(all)).name()).toBe(all);
    expect(wireReader(sshString('')).name()).toBe('');
  });

  it('a length beyond the end is not believed', () => {
    expect(wireReader(Buffer.from('00000005616263', 'hex')).string()).toBeUndefined();
    expect(wireReader(Buffer.from('ffffffff', 'hex')).string()).toBeUndefined();
    expect(wireReader(Buffer.from('000000', 'hex')).uint32()).toBeUndefined();
  });
});

describe('base64', () => {
  // RFC 4648, section 10.
  it.each([
    ['', ''],
    ['Zg==', 'f'],
    ['Zm8=', 'fo'],
    ['Zm9v', 'foo'],
    ['Zm9vYg==', 'foob'],
    ['Zm9vYmE=', 'fooba'],
    ['Zm9vYmFy', 'foobar'],
  ])('%s is %s', (text, decoded) => {
    expect(readBase64(text)?.toString('latin1')).toBe(decoded);
  });

  it.each(['Zg', 'Zg=', 'Zh==', 'Zm9v\n', ' Zm9v', 'Zm 9v', 'Zm9_', 'Zm9-', 'Zm9v====', '!'])('%j is none', (text) => {
    expect(readBase64(text)).toBeUndefined();
  });
});

describe('the armour of a signature', () => {
  const begin = '-----BEGIN SSH SIGNATURE-----';
  const end = '-----END SSH SIGNATURE-----';

  it.each([
    [0, []],
    [1, [4]],
    [51, [68]],
    [52, [70, 2]],
    [105, [70, 70]],
    [106, [70, 70, 4]],
  ])('of %d bytes has lines of 70 characters as OpenSSH writes them', (bytes, widths) => {
    const text = writeArmor(new Uint8Array(bytes));
    const lines = text.split('\n');
    expect([lines[0], lines.at(-2), lines.at(-1)]).toEqual([begin, end, '']);
    expect(lines.slice(1, -2).map((line) => line.length)).toEqual(widths);
  });

  it.each([
    [`${begin}\n`],
    [begin],
    [end],
    [`${begin}\nZm9v\n`],
    [`${begin}\nZm9v\n${end}\n\n`],
    [`\n${begin}\nZm9v\n${end}\n`],
    [`${begin}\nZm9v\n${end}\nx`],
    [`${begin} \nZm9v\n${end}\n`],
    [`${begin}\nZm9\n${end}\n`],
    [`${begin}\n${'A'.repeat(64 * 1024)}\n${end}\n`],
  ])('is refused: %j', (text) => {
    expect(codeOf(readArmor(text))).toBe('signature-armour');
  });

  it('may be 64 KiB long, to the character', () => {
    const text = (count: number, ends: readonly string[]): string =>
      `${begin}${ends[0]}${'A'.repeat(count)}${ends[1]}${end}${ends[2]}`;
    const room = 64 * 1024 - text(0, ['\n', '\n', '']).length;
    // The rest is filled with the carriage returns and the last line feed that may be there.
    const ends =
      [
        ['\n', '\n', ''],
        ['\r\n', '\n', ''],
        ['\r\n', '\r\n', ''],
        ['\r\n', '\r\n', '\n'],
      ][room % 4] ?? [];
    const full = text(room - (room % 4), ends);
    expect(full).toHaveLength(64 * 1024);
    expect(valueOf(readArmor(full))).toHaveLength((room - (room % 4)) * 0.75);
    expect(codeOf(readArmor(full.replace('AAAA', 'AAAA\n')))).toBe('signature-armour');
  });
});
