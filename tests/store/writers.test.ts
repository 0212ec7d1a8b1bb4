import { describe, expect, it } from 'vitest';
import { isWriter } from '../../src/proof/line-shape.ts';
import { lineHash, lineText, sealLine } from '../../src/proof/line.ts';
import { openOwnAppender } from '../../src/store/own-appender.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import { setTornAside } from '../../src/store/torn.ts';
import { newWriter } from '../../src/store/writers.ts';
import { sealed } from '../proof/lines.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom } from '../signing/openssh.ts';
import { memoryDisk, type MemoryDisk } from './memory-disk.ts';

const random = fixedRandom(3);

/** A session on the state that writes some lines, then is closed or killed. */
const session = (disk: MemoryDisk, lines: number, end: 'closed' | 'killed', state = '/state') => {
  disk.makeFolder(state);
  const read = valueOf(readJournal(disk, state));
  expect(read.damage).toBeUndefined();
  valueOf(setTornAside(disk, state, read));
  const appender = valueOf(openOwnAppender({ disk, state, config: '/config', random }, read));
  for (let count = 0; count < lines; count += 1) {
    const head = appender.head();
    const founder = head ?? read.files.find((file) => file.links.length > 0)?.links[0];
    const build = founder === undefined ? '' : founder.line.build === '' ? founder.hash : founder.line.build;
    const text = lineText(
      sealed({
        writer: appender.writer,
        seq: (head?.line.seq ?? 0) + 1,
        prev: head?.hash ?? '',
        build,
        data: { count },
      }),
    );
    expect(codeOf(appender.append(valueOf(sealLine(text))))).toBe('taken');
    expect(appender.head()?.hash).toBe(lineHash(text));
  }
  if (end === 'closed') appender.close();
  return { writer: appender.writer, because: appender.notices[0]?.what };
};

const file = (writer: string): string => `/state/journal/${writer}.jsonl`;
const dropLines = (disk: MemoryDisk, writer: string, keep: number): void =>
  disk.put(file(writer), `${disk.bytes(file(writer)).toString().split('\n').slice(0, keep).join('\n')}\n`);

describe('the name of a writer', () => {
  it('has the right form for any random bytes', () => {
    for (let byte = 0; byte < 256; byte += 1)
      expect(isWriter(newWriter((length) => new Uint8Array(length).fill(byte)))).toBe(true);
    expect(newWriter(random)).not.toBe(newWriter(random));
  });
});

describe('a writer continues', () => {
  it('from session to session, closed or killed', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    expect(session(disk, 0, 'closed').writer).toBe(writer);
    expect(session(disk, 2, 'killed').writer).toBe(writer);
    expect(session(disk, 1, 'closed')).toEqual({ writer, because: undefined });
    expect(valueOf(readJournal(disk, '/state')).files.map(({ links }) => links.length)).toEqual([5]);
  });

  it('after a kill in the middle of its first line of a session', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    session(disk, 1, 'killed');
    disk.put(file(writer), disk.bytes(file(writer)).subarray(0, -20));
    expect(session(disk, 1, 'closed')).toEqual({ writer, because: undefined });
  });
});

describe('a new writer takes over and says why', () => {
  it('where the file ends before the remembered line', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 3, 'closed');
    dropLines(disk, writer, 2);
    const next = session(disk, 1, 'closed');
    expect(next.writer).not.toBe(writer);
    expect(next.because).toContain(`the file of ${writer} ends at line 2, not at 3`);
    expect(session(disk, 1, 'closed')).toEqual({ writer: next.writer, because: undefined });
  });

  it('where the file is missing', () => {
    const disk = memoryDisk();
    disk.makeFolder('/state');
    const first = session(disk, 1, 'closed').writer;
    const second = valueOf(
      openOwnAppender({ disk, state: '/state', config: '/elsewhere', random }, valueOf(readJournal(disk, '/state'))),
    ).writer;
    expect(second).not.toBe(first);
    disk.remove(file(first));
    disk.remove('/config');
    expect(session(disk, 1, 'closed').writer).not.toBe(first);
  });

  it('where another line is in the place of the remembered one', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    const [founding = ''] = disk.bytes(file(writer)).toString().split('\n');
    const other = lineText(
      sealed({ writer, seq: 2, prev: lineHash(founding), build: lineHash(founding), by: 'other' }),
    );
    disk.put(file(writer), `${founding}\n${other}\n`);
    expect(session(disk, 1, 'closed').because).toContain(`line 2 of ${writer} is not the one written here`);
  });

  it('where a session was killed and all its lines are missing, because a copy may have been restored', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    session(disk, 3, 'killed');
    dropLines(disk, writer, 2);
    expect(session(disk, 1, 'closed').because).toContain('none of its lines are there');
  });

  it('in a copy of the state, so that both can continue and be merged', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    disk.put(`/copy/journal/${writer}.jsonl`, disk.bytes(file(writer)));
    const inCopy = session(disk, 1, 'closed', '/copy').writer;
    expect(inCopy).not.toBe(writer);
    expect(session(disk, 1, 'closed').writer).toBe(writer);
    disk.put(file(inCopy), disk.bytes(`/copy/journal/${inCopy}.jsonl`));
    const merged = valueOf(readJournal(disk, '/state'));
    expect(merged.damage).toBeUndefined();
    expect(merged.files).toHaveLength(2);
  });

  it('where the memory cannot be read; and where it cannot be written, people can still enter things', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 1, 'closed');
    const memory = disk.paths().find((name) => name.startsWith('/config/writers/')) ?? '';
    disk.put(memory, '{"writer":"x"}');
    expect(session(disk, 1, 'closed').writer).not.toBe(writer);
    disk.trouble = (call, path) => (call === 'open' && path.startsWith('/config') ? 'EROFS' : undefined);
    expect(codeOf({ ok: true, value: session(disk, 1, 'closed') })).toBe('taken');
  });
});

describe('a session writes', () => {
  it('two small files, however many lines it has', () => {
    const disk = memoryDisk();
    session(disk, 1, 'closed');
    let renames = 0;
    let syncs = 0;
    disk.trouble = (call, path) => {
      if (call === 'rename') renames += 1;
      if (call === 'syncData' && path.startsWith('/state')) syncs += 1;
      return undefined;
    };
    session(disk, 50, 'closed');
    expect([renames, syncs]).toEqual([2, 50]);
  });
});
