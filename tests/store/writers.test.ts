import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../../src/proof/canonical.ts';
import { sha256Hex } from '../../src/proof/hash.ts';
import { isWriter } from '../../src/proof/line-shape.ts';
import { lineHash, lineText, sealLine } from '../../src/proof/line.ts';
import { chooseOwnWriter, openOwnAppender, settleOwnEnd } from '../../src/store/own-appender.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import { newWriter } from '../../src/store/writers.ts';
import { sealed } from '../proof/lines.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom } from '../signing/openssh.ts';
import { memoryDisk, type MemoryDisk } from './memory-disk.ts';

const random = fixedRandom(3);

/** A session on the state that writes some lines, then is closed or killed. */
const session = (disk: MemoryDisk, lines: number, end: 'closed' | 'killed', state = '/state') => {
  disk.makeFolder(`${state}/journal`);
  const found = valueOf(readJournal(disk, state));
  expect(found.damage).toBeUndefined();
  const place = { disk, state, config: '/config', random };
  const own = valueOf(chooseOwnWriter(place, found));
  const { read } = valueOf(settleOwnEnd(place, found, own));
  const appender = openOwnAppender(place, read, own);
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
  return { writer: appender.writer, because: own.notices[0]?.what };
};

const file = (writer: string): string => `/state/journal/${writer}.jsonl`;
const dropLines = (disk: MemoryDisk, writer: string, keep: number): void =>
  disk.put(file(writer), `${disk.bytes(file(writer)).toString().split('\n').slice(0, keep).join('\n')}\n`);

const memoryFile = (disk: MemoryDisk): string => disk.paths().find((name) => name.startsWith('/config/writers/')) ?? '';
const memoryText = (disk: MemoryDisk): string => disk.bytes(memoryFile(disk)).toString();
/** What is left of the memory where the lines of it that were not synced are lost, but for the first `kept` of them. */
const forgetNotes = (disk: MemoryDisk, kept = 0): void =>
  disk.put(
    memoryFile(disk),
    `${memoryText(disk)
      .split('\n')
      .slice(0, 1 + kept)
      .join('\n')}\n`,
  );

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
    forgetNotes(disk);
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
      chooseOwnWriter({ disk, state: '/state', config: '/elsewhere', random }, valueOf(readJournal(disk, '/state'))),
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
    forgetNotes(disk);
    expect(session(disk, 1, 'closed').because).toContain('none of its lines are there');
  });

  it('where a session was killed and some of its lines are missing: it remembered each of them', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    session(disk, 3, 'killed');
    dropLines(disk, writer, 4);
    expect(session(disk, 1, 'closed').because).toContain(
      `ends at line 4, not at 5: one entry that was taken here is missing`,
    );
  });

  it('where a file goes on after the line at which a session closed', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    const memory = memoryText(disk);
    session(disk, 1, 'closed');
    disk.put(memoryFile(disk), memory);
    expect(session(disk, 1, 'closed').because).toContain(`the file of ${writer} goes on after line 2`);
  });

  it('where a closed file ends in a piece of a line: nobody here tore it, so nobody here cuts it', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    const torn = Buffer.concat([disk.bytes(file(writer)), Buffer.from('{"at":"20')]);
    disk.put(file(writer), torn);
    expect(session(disk, 1, 'closed').because).toContain('goes on after line 2');
    expect(disk.bytes(file(writer))).toEqual(torn);
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

describe('what is remembered', () => {
  it('holds after a kill in the middle of a note, and after a power cut that kept any number of notes', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 2, 'closed');
    session(disk, 3, 'killed');
    const text = memoryText(disk);
    for (let length = text.indexOf('\n') + 1; length <= text.length; length += 1) {
      const after = disk.after({ bytes: 1, names: true });
      after.put(memoryFile(disk), text.slice(0, length));
      expect(session(after, 1, 'closed'), `${length} bytes`).toEqual({ writer, because: undefined });
    }
  });

  it('names the founder’s own file before the build has a line', () => {
    const disk = memoryDisk();
    const { writer } = session(disk, 1, 'killed');
    const [line = ''] = disk.bytes(file(writer)).toString().split('\n');
    for (let length = 0; length <= line.length; length += 1) {
      const early = memoryDisk();
      early.put(file(writer), line.slice(0, length));
      early.put(
        `/config/writers/new-${sha256Hex('/state').slice(0, 16)}.json`,
        `${canonicalJson({ writer, seq: 0, hash: '', writing: true })}\n`,
      );
      expect(session(early, 1, 'closed'), `${length} bytes`).toEqual({ writer, because: undefined });
    }
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
