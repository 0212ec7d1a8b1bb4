import { describe, expect, it } from 'vitest';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner, signLine } from '../../src/signing/signer.ts';
import { journalStrays } from '../../src/store/journal-copies.ts';
import { journalNames } from '../../src/store/journal-names.ts';
import { memoryDisk, type MemoryDisk } from './memory-disk.ts';

const signer = makeSigner(secretFromSeed(new Uint8Array(32).fill(9)));
const writer = 'imxr6kf2';

/** A number of lines of one writer. From line `fork` on they differ. */
const linesOf = (count: number, fork = Infinity): readonly string[] => {
  const lines: string[] = [];
  let [prev, build] = ['', ''];
  for (let seq = 1; seq <= count; seq += 1) {
    const data = { text: seq >= fork ? 'there' : 'here' };
    const at = '2026-03-02T09:00:00Z';
    const sealed = signLine(
      { v: 1, build, writer, seq, prev, seen: {}, at, by: 'ines', job: 'a-0a1b2c', type: 'remark', data },
      signer,
    );
    if (!sealed.ok) throw new Error(sealed.fault.what);
    lines.push(`${sealed.value.text}\n`);
    prev = sealed.value.hash;
    build = build === '' ? prev : build;
  }
  return lines;
};

const diskWith = (own: readonly string[], copyName: string, copy: string): MemoryDisk => {
  const disk = memoryDisk();
  disk.put(`/state/journal/${writer}.jsonl`, own.join(''));
  disk.put(`/state/journal/${copyName}`, copy);
  return disk;
};

const strayOf = (own: readonly string[], copyName: string, copy: readonly string[] | string) => {
  const disk = diskWith(own, copyName, typeof copy === 'string' ? copy : copy.join(''));
  const names = journalNames(disk, '/state');
  if (!names.ok) throw new Error(names.fault.what);
  expect(names.value.files).toEqual([`journal/${writer}.jsonl`]);
  return journalStrays(disk, '/state', names.value.unread)[0];
};

describe('a conflict copy in journal/, named as file services do', () => {
  it.each([
    `${writer} (conflicted copy 2026-03-02).jsonl`,
    `${writer} (Somebody's conflicted copy).jsonl`,
    `${writer}.sync-conflict-20260302-090000-ABCDEFG.jsonl`,
    `${writer} 2.jsonl`,
    `${writer}-HANGAR.jsonl`,
    `${writer}_conflict.jsonl`,
    `${writer}.jsonl~`,
    `${writer}.jsonl.orig`,
    `.${writer}.jsonl.swp`,
    `.${writer}.jsonl.icloud`,
  ])('%s is never a journal file, and is held against the one that it is a copy of', (name) => {
    expect(strayOf(linesOf(3), name, linesOf(2))).toMatchObject({ name: `journal/${name}`, holdsMore: false });
    expect(strayOf(linesOf(3), name, linesOf(5))).toMatchObject({ holdsMore: true });
  });

  const name = `${writer} 2.jsonl`;

  it('may be deleted where it holds nothing more', () => {
    for (const count of [1, 3])
      expect(strayOf(linesOf(3), name, linesOf(count))?.what).toContain('holds all of it already');
  });

  it('that continues the file is reported with the number of its own entries, and how to take them back', () => {
    const stray = strayOf(linesOf(3), name, linesOf(5));
    expect(stray?.what).toContain(`goes on where that ends: 2 entries`);
    expect(stray?.todo).toContain(`rename it to journal/${writer}.jsonl`);
  });

  it('that differs from the file is reported with the first line that differs', () => {
    expect(strayOf(linesOf(4), name, linesOf(6, 3))?.what).toContain('another way from line 3 on: 4 entries');
  });

  it('that is not a journal is only listed; one that stops being a journal counts up to there', () => {
    expect(strayOf(linesOf(3), name, 'x')?.what).toBe('this is no journal file, and is not read');
    expect(strayOf(linesOf(3), 'notes.txt', linesOf(3))?.what).toBe('this is no journal file, and is not read');
    expect(strayOf(linesOf(3), name, [...linesOf(4), '{"a":'])?.what).toContain('goes on where that ends: one entry');
    expect(strayOf(linesOf(3), name, [...linesOf(3), 'torn'])?.holdsMore).toBe(false);
  });
});
