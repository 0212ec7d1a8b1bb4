import { describe, expect, it } from 'vitest';
import type { Disk } from '../../src/store/disk.ts';
import { readJournal, type JournalRead, type WriterFile } from '../../src/store/journal-read.ts';
import { settleEnds } from '../../src/store/torn.ts';
import { chainOf } from '../proof/lines.ts';
import { valueOf } from '../proof/outcomes.ts';
import { memoryDisk, type MemoryDisk } from './memory-disk.ts';

const writer = 'abcdefg2';
const state = '/state';
const file = `journal/${writer}.jsonl`;
const path = `${state}/${file}`;
const texts = chainOf(3);
const textOf = (count: number): string =>
  texts
    .slice(0, count)
    .map((text) => `${text}\n`)
    .join('');
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

describe('the torn tail of another writer', () => {
  it('is passed over and never cut, wherever it was torn', () => {
    const whole = Buffer.from(textOf(3));
    for (let length = Buffer.byteLength(textOf(2)) + 1; length < whole.length - 1; length += 1) {
      const disk = diskWith(whole.subarray(0, length));
      const { read: settled, notices } = valueOf(settleEnds(disk, state, read(disk), { writer: 'zzzzzzzz' }));
      expect(notices.map(({ code, where }) => [code, where])).toEqual([['torn-tail', `${file}:3`]]);
      expect(notices[0]?.what).toContain('passed over and left as it is');
      expect(only(settled).links).toHaveLength(2);
      expect(disk.bytes(path)).toEqual(whole.subarray(0, length));
      expect(disk.paths()).toEqual([path]);
    }
  });

  it('is passed over too where this machine wrote it under a name that it does not continue', () => {
    const disk = diskWith(textOf(3).slice(0, -40));
    valueOf(settleEnds(disk, state, read(disk), { writer }));
    expect(disk.bytes(path).toString()).toBe(textOf(3).slice(0, -40));
  });
});

describe('after an entry of which nobody knew whether it was kept', () => {
  const unsure = { writer, memory: { writer, seq: 2, hash: '', writing: true, unsure: true } };

  it.each([
    ['kept', textOf(3), 3, 'entry-kept'],
    ['not kept', textOf(2), 2, 'entry-not-kept'],
    ['kept without its line feed', textOf(3).trimEnd(), 3, 'entry-kept'],
    ['torn', textOf(3).slice(0, -40), 2, 'entry-not-kept'],
  ])('the next opening says so, and writes the file anew: %s', (_, text, lines, code) => {
    const disk = diskWith(text);
    const before = read(disk).files[0]?.facts?.identity;
    const { read: settled, notices } = valueOf(settleEnds(disk, state, read(disk), unsure));
    expect(notices.at(-1)?.code).toBe(code);
    expect(only(settled).facts?.identity).not.toBe(before);
    expect(only(settled).torn).toBeUndefined();
    expect(count(disk)).toBe(lines);
    const back = disk.after({ bytes: 0, names: false });
    expect(count(back)).toBe(lines);
  });
});
