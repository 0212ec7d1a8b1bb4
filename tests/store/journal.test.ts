import {
  utimesSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
  appendFileSync,
  mkdirSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkLine, sealLine, type SealedLine } from '../../src/proof/line.ts';
import { realDisk, type Disk } from '../../src/store/disk.ts';
import { openAppender } from '../../src/store/journal-append.ts';
import { readJournal, type JournalRead, type WriterFile } from '../../src/store/journal-read.ts';
import { settleFolder } from '../../src/store/write-file.ts';
import { settleEnds } from '../../src/store/torn.ts';
import { chainOf, first } from '../proof/lines.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { memoryDisk, PowerCut, type MemoryDisk } from './memory-disk.ts';

const writer = 'abcdefg2';
const state = '/state';
const file = `journal/${writer}.jsonl`;
const path = `${state}/${file}`;
const texts = chainOf(6);
const textOf = (count: number): string =>
  texts
    .slice(0, count)
    .map((text) => `${text}\n`)
    .join('');
const line = (index: number): string => texts[index] ?? '';
const sealedLine = (index: number): SealedLine => valueOf(sealLine(line(index)));

/** This machine's writer, in whose memory a session has begun and not ended. */
const own = { writer, memory: { writer, seq: 0, hash: '', writing: true } };

const diskWith = (content: string | Uint8Array): MemoryDisk => {
  const disk = memoryDisk();
  disk.put(path, content);
  return disk;
};
const read = (disk: Disk): JournalRead => valueOf(readJournal(disk, state));
const only = ({ files }: JournalRead): WriterFile => {
  const [found] = files;
  if (found === undefined || files.length > 1) throw new Error(`${files.length} files`);
  return found;
};
const count = (disk: Disk): number => only(read(disk)).links.length;

describe.each(['in memory', 'on a real disk'])('a journal %s', (kind) => {
  let folder = '';
  beforeEach(() => {
    folder = kind === 'in memory' ? '/state' : mkdtempSync(join(tmpdir(), 'dryfit-test-'));
  });
  afterEach(() => {
    if (kind !== 'in memory') rmSync(folder, { recursive: true, force: true });
  });
  const make = (): Disk => (kind === 'in memory' ? memoryDisk() : realDisk);

  it('holds every line that was appended, in order, after any number of openings', () => {
    const disk = make();
    disk.makeFolder(join(folder, 'journal'));
    expect(valueOf(readJournal(disk, folder))).toEqual({ files: [], unread: [] });
    for (const [index, text] of texts.entries()) {
      const before = valueOf(readJournal(disk, folder)).files[0];
      const appender = openAppender(disk, folder, writer, before);
      expect(valueOf(appender.append(valueOf(sealLine(text)))).line.seq).toBe(index + 1);
      expect(appender.head()?.line.seq).toBe(index + 1);
      appender.close();
      expect(codeOf(appender.append(valueOf(sealLine(text))))).toBe('journal-stopped');
    }
    const whole = valueOf(readJournal(disk, folder));
    expect(whole.damage).toBeUndefined();
    expect(whole.build).toBe(only(whole).links[0]?.hash);
    expect(only(whole)).toMatchObject({ writer, file, ending: 'line-feed', length: Buffer.byteLength(textOf(6)) });
    expect(only(whole).links).toHaveLength(6);
  });

  it('accepts only the line that follows', () => {
    const disk = make();
    disk.makeFolder(join(folder, 'journal'));
    const appender = openAppender(disk, folder, writer);
    expect(codeOf(appender.append(sealedLine(1)))).toBe('chain-seq');
    expect(codeOf(appender.append(sealedLine(0)))).toBe('taken');
    expect(codeOf(appender.append(sealedLine(0)))).toBe('chain-seq');
    const stranger = chainOf(2, { writer: 'zzzzzzzz' })[1] ?? '';
    expect(codeOf(appender.append(valueOf(sealLine(stranger))))).toBe('chain-writer');
    expect(codeOf(appender.append(sealedLine(1)))).toBe('taken');
    appender.close();
  });
});

describe('the end of a journal file', () => {
  it('torn at any length is recognised, set aside and reported, and writing continues', () => {
    const whole = Buffer.from(textOf(3));
    const start = Buffer.byteLength(textOf(2));
    let torn = 0;
    for (let length = start + 1; length < whole.length - 1; length += 1) {
      const disk = diskWith(whole.subarray(0, length));
      const found = read(disk);
      expect(found.damage, `cut at ${length}`).toBeUndefined();
      expect(only(found)).toMatchObject({ length: start, ending: 'line-feed' });
      expect(Buffer.from(only(found).torn ?? '')).toEqual(whole.subarray(start, length));
      const aside = valueOf(settleEnds(disk, state, found, own));
      expect(aside.notices.map(({ code, where }) => [code, where])).toEqual([['torn-tail', `${file}:3`]]);
      const piece = disk.paths().find((name) => name.startsWith(`${state}/torn/`)) ?? '';
      expect(disk.bytes(piece)).toEqual(whole.subarray(start, length));
      expect(disk.bytes(path)).toEqual(whole.subarray(0, start));
      expect(codeOf(openAppender(disk, state, writer, only(aside.read)).append(sealedLine(2)))).toBe('taken');
      expect(disk.bytes(path)).toEqual(whole);
      torn += 1;
    }
    expect(torn).toBeGreaterThan(400);
  });

  it('torn in the middle of a character, in the first line, or with control characters in it', () => {
    const odd = chainOf(1, { data: { text: '±°\u{1f602}', other: '\u0007\\"' } })[0] ?? '';
    const bytes = Buffer.from(odd);
    for (let length = 1; length < bytes.length; length += 1) {
      const found = read(diskWith(bytes.subarray(0, length)));
      expect(found.damage, `cut at ${length}`).toBeUndefined();
      expect(only(found).torn).toHaveLength(length);
    }
  });

  it('stays where it is while another file is damaged', () => {
    const disk = diskWith(textOf(3).slice(0, -40));
    disk.put(`${state}/journal/zzzzzzzz.jsonl`, 'x\n');
    const before = disk.bytes(path);
    const found = read(disk);
    expect(found.damage?.where).toBe('journal/zzzzzzzz.jsonl:1');
    expect(valueOf(settleEnds(disk, state, found, own)).notices.map(({ code }) => code)).toEqual(['torn-tail']);
    expect(disk.bytes(path)).toEqual(before);
    expect(disk.paths().some((name) => name.includes('/torn/'))).toBe(false);
  });

  it('without its line feed is kept, and gets the line feed with the next line', () => {
    const disk = diskWith(textOf(3).trimEnd());
    const found = read(disk);
    expect(only(found)).toMatchObject({ ending: 'bare', length: Buffer.byteLength(textOf(3)) - 1 });
    expect(only(found).links).toHaveLength(3);
    expect(codeOf(openAppender(disk, state, writer, only(found)).append(sealedLine(3)))).toBe('taken');
    expect(disk.bytes(path).toString()).toBe(textOf(4));
  });

  it.each([
    ['zeros', Buffer.alloc(64)],
    ['half a line and zeros', Buffer.concat([Buffer.from(line(3).slice(0, 50)), Buffer.alloc(9)])],
    ['half a line and a line', Buffer.from(`${line(3).slice(0, 50)}${line(3)}\n`)],
    ['half a line with its line feed', Buffer.from(`${line(3).slice(0, 50)}\n`)],
    ['an empty line', Buffer.from('\n')],
    ['carriage returns', Buffer.from(`${line(3)}\r\n`)],
    ['whole JSON that is no line', Buffer.from('{}')],
    ['a line with a space behind it', Buffer.from(`${line(3)} `)],
    ['bytes that are no text', Buffer.from([0x7b, 0xff])],
    ['a line of another place', Buffer.from(line(4))],
    ['a line with a byte that is no text', Buffer.from(`${line(3)}\n`).fill(0xff, 20, 21)],
  ])('of any other kind is damage, named by file and line: %s', (_, tail) => {
    const { damage, files } = read(diskWith(Buffer.concat([Buffer.from(textOf(3)), tail])));
    expect(damage?.where).toBe(`${file}:4`);
    expect(damage?.kind).toBe('wrong');
    expect(files[0]?.links).toHaveLength(3);
    expect(files[0]?.torn).toBeUndefined();
  });
});

describe('in the folder of journals', () => {
  it('conflict copies and other files are listed and not read', () => {
    const disk = diskWith(textOf(2));
    disk.put(`${state}/journal/${writer} (conflicted copy).jsonl`, 'x');
    disk.put(`${state}/journal/${writer}-2.jsonl`, 'x');
    disk.put(`${state}/journal/ABCDEFG2.jsonl`, 'x');
    disk.put(`${state}/journal/notes.txt`, 'x');
    expect(read(disk).damage).toBeUndefined();
    expect(read(disk).unread).toHaveLength(4);
    expect(count(disk)).toBe(2);
  });

  it('an empty file has no line yet, and a folder under a writer’s name is refused', () => {
    const empty = diskWith('');
    expect(only(read(empty))).toMatchObject({ links: [], length: 0 });
    expect(codeOf(openAppender(empty, state, writer, only(read(empty))).append(sealedLine(0)))).toBe('taken');
    const disk = memoryDisk();
    disk.put(`${path}/x`, 'x');
    expect(codeOf(readJournal(disk, state))).toMatch(/^(file-kind|disk)/);
  });

  it('lines of another build stop writing', () => {
    const disk = diskWith(textOf(2));
    const stranger = chainOf(2, { writer: 'zzzzzzzz', build: 'ab'.repeat(32) });
    disk.put(`${state}/journal/zzzzzzzz.jsonl`, stranger.map((text) => `${text}\n`).join(''));
    expect(read(disk).damage?.code).toBe('build-two');
  });
});

describe('any single flipped bit in a journal', () => {
  it('shows as damage, or as a false signature in the last line', () => {
    const whole = Buffer.from(textOf(2));
    let seen = 0;
    for (let bit = 0; bit < whole.length * 8; bit += 1) {
      const turned = Buffer.from(whole);
      turned[bit >> 3] = (turned[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      const { damage, files } = read(diskWith(turned));
      const last = files[0]?.links.at(-1);
      const lastIsGood = last !== undefined && checkLine(last.line, first.key).ok && files[0]?.links.length === 2;
      expect(damage !== undefined || !lastIsGood, `bit ${bit}`).toBe(true);
      seen += 1;
    }
    expect(seen).toBe(whole.length * 8);
  });
});

describe('a failing disk', () => {
  const ready = (before: number) => {
    const disk = diskWith(textOf(before));
    return { disk, appender: openAppender(disk, state, writer, only(read(disk))) };
  };
  const size = Buffer.byteLength(line(2)) + 1;

  it('full at any byte of a line: nothing of it is kept, and it can be entered again once there is room', () => {
    for (let room = 0; room < size; room += 1) {
      const { disk, appender } = ready(2);
      let left = room;
      disk.trouble = (call, _, bytes) => {
        if (call !== 'write') return undefined;
        const taken = Math.min(left, bytes);
        left -= taken;
        return taken;
      };
      expect(codeOf(appender.append(sealedLine(2))), `${room} bytes`).toBe('disk-full');
      expect(disk.bytes(path).toString()).toBe(textOf(2));
      expect(appender.head()?.line.seq).toBe(2);
      disk.trouble = () => undefined;
      expect(codeOf(appender.append(sealedLine(2)))).toBe('taken');
      expect(disk.bytes(path).toString()).toBe(textOf(3));
    }
  });

  it('that takes a few bytes at a time gives no fault', () => {
    const { disk, appender } = ready(2);
    disk.trouble = (call) => (call === 'write' ? 7 : undefined);
    expect(codeOf(appender.append(sealedLine(2)))).toBe('taken');
    expect(disk.bytes(path).toString()).toBe(textOf(3));
  });

  it('that cannot even remove the piece: writing stops, and the next opening sets the piece aside', () => {
    for (let room = 1; room < size; room += 1) {
      const { disk, appender } = ready(2);
      let left = room;
      disk.trouble = (call, _, bytes) => {
        if (call === 'truncate') return 'EIO';
        if (call !== 'write') return undefined;
        const taken = Math.min(left, bytes);
        left -= taken;
        return taken;
      };
      expect(codeOf(appender.append(sealedLine(2)))).toBe('entry-unsure');
      expect(appender.isUnsure()).toBe(true);
      disk.trouble = () => undefined;
      expect(codeOf(appender.append(sealedLine(2)))).toBe('journal-stopped');
      const found = read(disk);
      expect(found.damage).toBeUndefined();
      expect(codeOf(settleEnds(disk, state, found, own))).toBe('taken');
      expect(disk.bytes(path).toString()).toBe(room < size - 1 ? textOf(2) : textOf(3).trimEnd());
    }
  });

  it('whose sync fails: the line is removed, and nothing more is written until the file is read again', () => {
    const { disk, appender } = ready(2);
    let syncs = 0;
    disk.trouble = (call) => {
      if (call !== 'syncData') return undefined;
      syncs += 1;
      return syncs === 1 ? 'EIO' : undefined;
    };
    expect(codeOf(appender.append(sealedLine(2)))).toBe('disk-failed');
    expect(disk.bytes(path).toString()).toBe(textOf(2));
    expect(codeOf(appender.append(sealedLine(2)))).toBe('journal-stopped');
  });

  it.each(['EROFS', 'EACCES'])('that is read-only (%s) gives that fault', (code) => {
    const { disk, appender } = ready(2);
    disk.trouble = (call) => (call === 'open' ? code : undefined);
    expect(codeOf(appender.append(sealedLine(2)))).toBe('disk-read-only');
  });

  it('is not blamed for a bug, which is thrown', () => {
    const { disk, appender } = ready(2);
    disk.open = () => {
      throw new TypeError('a bug');
    };
    expect(() => appender.append(sealedLine(2))).toThrow('a bug');
  });
});

describe('the power goes', () => {
  /** Appends the lines until the power goes. Gives how many were reported as being on the disk. */
  const appendAll = (disk: MemoryDisk): number => {
    let told = 0;
    try {
      settleFolder(disk, `${state}/journal`);
      valueOf(settleEnds(disk, state, read(disk), own));
      const appender = openAppender(disk, state, writer, read(disk).files[0]);
      for (const text of texts.slice(told)) {
        const seq = appender.head()?.line.seq ?? 0;
        if (seq > told) {
          told += 1;
          continue;
        }
        if (!appender.append(valueOf(sealLine(text))).ok) break;
        told += 1;
      }
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
    }
    return told;
  };

  it('before any call of the disk: no line that was shown is lost, nothing is damaged, and work continues', () => {
    let cuts = 0;
    for (let at = 0; ; at += 1) {
      const disk = memoryDisk();
      disk.cutAt(at);
      const told = appendAll(disk);
      for (const bytes of [0, 0.3, 0.99, 1])
        for (const names of [false, true]) {
          const back = disk.after({ bytes, names });
          const found = read(back);
          expect(found.damage, `cut at ${at}, kept ${bytes}`).toBeUndefined();
          expect(found.files[0]?.links.length ?? 0, `cut at ${at}, kept ${bytes}`).toBeGreaterThanOrEqual(told);
          expect(appendAll(back)).toBe(texts.length);
          expect(read(back).damage).toBeUndefined();
          cuts += 1;
        }
      if (told === texts.length) break;
    }
    expect(cuts).toBeGreaterThan(150);
  });

  it('while a torn tail is set aside: the piece is in one of the two places', () => {
    for (let at = 0; at < 40; at += 1) {
      const disk = diskWith(textOf(3).slice(0, -40));
      const found = read(disk);
      disk.cutAt(disk.calls + at);
      try {
        settleEnds(disk, state, found, own);
      } catch (error) {
        if (!(error instanceof PowerCut)) throw error;
      }
      const back = disk.after({ bytes: 0, names: false });
      const again = read(back);
      expect(again.damage).toBeUndefined();
      const aside = back.paths().some((name) => name.startsWith(`${state}/torn/${writer}`));
      expect(aside || only(again).torn !== undefined, `cut at ${at}`).toBe(true);
    }
  });
});

describe('a file that another program changes while it is open', () => {
  let folder = '';
  const real = () => join(folder, file);
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'dryfit-test-'));
    mkdirSync(join(folder, 'journal'));
    writeFileSync(real(), textOf(2));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const open = () => openAppender(realDisk, folder, writer, only(valueOf(readJournal(realDisk, folder))));

  it.each([
    ['grown', () => appendFileSync(real(), 'x')],
    ['cut', () => writeFileSync(real(), textOf(1))],
    [
      'replaced',
      () => {
        writeFileSync(`${real()}.new`, textOf(3));
        renameSync(`${real()}.new`, real());
      },
    ],
    ['removed', () => rmSync(real())],
  ])('%s: writing stops, and what the other wrote is untouched', (_, change) => {
    const appender = open();
    valueOf(appender.append(sealedLine(2)));
    change();
    const before = readOrNone(real());
    expect(codeOf(appender.append(sealedLine(3)))).toBe('journal-changed');
    expect(codeOf(appender.append(sealedLine(3)))).toBe('journal-stopped');
    expect(readOrNone(real())).toBe(before);
    appender.close();
  });

  it('in its bytes, at the same length: the next line is written, and the change is reported', () => {
    const appender = open();
    valueOf(appender.append(sealedLine(2)));
    expect(appender.wasTouched()).toBe(false);
    const bytes = readFileSync(real());
    bytes[9] = (bytes[9] ?? 0) ^ 1;
    writeFileSync(real(), bytes);
    expect(codeOf(appender.append(sealedLine(3)))).toBe('taken');
    expect(appender.wasTouched()).toBe(true);
    appender.close();
  });

  it('between its reading and the first line', () => {
    const [appender, other] = [open(), open()];
    utimesSync(real(), 1, 1);
    for (const one of [appender, other]) expect(one.wasTouched()).toBe(false);
    valueOf(appender.append(sealedLine(2)));
    expect(appender.wasTouched()).toBe(true);
    appender.close();
    other.close();
  });
});

const readOrNone = (path: string): string | undefined => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
};
