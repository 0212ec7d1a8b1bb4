import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readlinkSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sha256Hex } from '../../src/proof/hash.ts';
import { beginState } from '../../src/store/begin-state.ts';
import { realDisk } from '../../src/store/disk.ts';
import { keepHashed, readHashed } from '../../src/store/hashed-file.ts';
import {
  peopleWithKeys,
  readKeyFileAt,
  readKeyFileOf,
  rewriteKeyFile,
  writeKeyFileOf,
} from '../../src/store/key-files.ts';
import { hashName, inState, isRecordName, isTemporary, recordFolder } from '../../src/store/layout.ts';
import { readFile, readText } from '../../src/store/read-file.ts';
import { publishFolder } from '../../src/store/record-folder.ts';
import { writeFile } from '../../src/store/write-file.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { run } from '../signing/openssh.ts';
import { memoryDisk, PowerCut } from './memory-disk.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'dryfit-test-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string): string => join(folder, name);
/** Nothing is closed to root: where root runs the tests, this part of one is run by the user who owns nothing. */
const asNobody = <T>(act: () => T): T => {
  if (process.getuid?.() !== 0) return act();
  process.seteuid?.(65_534);
  try {
    return act();
  } finally {
    process.seteuid?.(0);
  }
};

const modeOf = (path: string): string => (statSync(path).mode & 0o777).toString(8);

describe('reading a file of any kind', () => {
  const look = (path: string, limit = 100, links?: 'follow'): string =>
    codeOf(readFile(realDisk, path, { where: 'it', limit, ...(links === undefined ? {} : { links }) }));

  it('accepts a regular file up to its limit', () => {
    writeFileSync(at('a'), 'x'.repeat(100));
    expect(valueOf(readFile(realDisk, at('a'), { where: 'it', limit: 100 }))).toHaveLength(100);
    expect(look(at('a'), 99)).toBe('file-long');
  });

  it('refuses a folder, a pipe, a device, a link or a missing file at once', () => {
    run('mkfifo', [at('pipe')]);
    writeFileSync(at('a'), 'x');
    symlinkSync(at('a'), at('link'));
    expect(look(folder)).toBe('file-kind');
    expect(look(at('pipe'))).toBe('file-kind');
    expect(look('/dev/zero')).toBe('file-kind');
    expect(look(at('link'))).toBe('file-kind');
    expect(look(at('link'), 100, 'follow')).toBe('taken');
    expect(look('/dev/zero', 100, 'follow')).toBe('file-kind');
    expect(look(at('none'))).toBe('file-missing');
    expect(look(at('a/b'))).toBe('file-kind');
  });

  it('refuses bytes that are not text', () => {
    writeFileSync(at('a'), Buffer.from([0xff, 0xfe]));
    expect(codeOf(readText(realDisk, at('a'), { where: 'it', limit: 100 }))).toBe('file-text');
  });
});

describe('writing a file', () => {
  it('replaces the old content, leaves no other file, and sets the given mode regardless of the umask', () => {
    const umask = process.umask(0o077);
    try {
      valueOf(writeFile(realDisk, at('in/a'), 'one', { where: 'a' }));
      valueOf(writeFile(realDisk, at('in/a'), 'two', { where: 'a' }));
      valueOf(writeFile(realDisk, at('k/b'), 'b', { where: 'b', mode: 0o600, folderMode: 0o700 }));
    } finally {
      process.umask(umask);
    }
    expect(readFileSync(at('in/a'), 'utf8')).toBe('two');
    expect(realDisk.list(at('in'))).toEqual(['a']);
    expect([modeOf(at('in/a')), modeOf(at('k/b')), modeOf(at('k'))]).toEqual(['644', '600', '700']);
  });

  it('leaves the whole old content or the whole new content, whenever the power goes or the disk fails', () => {
    const outcomes = new Set<string>();
    for (let call = 0; call < 12; call += 1)
      for (const trouble of ['cut', 'ENOSPC'])
        for (const names of [true, false]) {
          const disk = memoryDisk();
          disk.put('/state/a', 'old content');
          if (trouble === 'cut') disk.cutAt(call);
          else disk.trouble = () => (disk.calls === call + 1 ? trouble : undefined);
          let told = false;
          try {
            told = writeFile(disk, '/state/a', 'new', { where: 'a' }).ok;
          } catch (error) {
            if (!(error instanceof PowerCut)) throw error;
          }
          const content = disk.after({ bytes: 0, names }).bytes('/state/a').toString();
          if (told) expect(content, `${trouble} ${call}`).toBe('new');
          expect(['old content', 'new']).toContain(content);
          outcomes.add(`${told} ${content}`);
        }
    expect([...outcomes].toSorted()).toEqual(['false new', 'false old content', 'true new']);
  });

  it('removes its temporary file when the disk is full', () => {
    const disk = memoryDisk();
    disk.put('/state/a', 'old');
    disk.trouble = (call) => (call === 'write' ? 'ENOSPC' : undefined);
    expect(codeOf(writeFile(disk, '/state/a', 'new', { where: 'a' }))).toBe('disk-full');
    expect(disk.paths()).toEqual(['/state/a']);
  });
});

describe('files named by their hash', () => {
  const bytes = Buffer.from('procedure: x\n');
  const hash = sha256Hex(bytes);

  it('are kept once and checked when they are read', () => {
    expect(valueOf(keepHashed(realDisk, folder, 'procedures', bytes, 'yaml'))).toBe(hash);
    expect(valueOf(keepHashed(realDisk, folder, 'procedures', bytes, 'yaml'))).toBe(hash);
    expect(Buffer.from(valueOf(readHashed(realDisk, folder, 'procedures', hash, 'yaml')))).toEqual(bytes);
    writeFileSync(at(`procedures/${hash}.yaml`), 'procedure: y\n');
    expect(codeOf(readHashed(realDisk, folder, 'procedures', hash, 'yaml'))).toBe('file-changed');
    expect(valueOf(keepHashed(realDisk, folder, 'procedures', bytes, 'yaml'))).toBe(hash);
    expect(codeOf(readHashed(realDisk, folder, 'procedures', hash, 'yaml'))).toBe('taken');
  });

  it('never lead out of their folder', () => {
    symlinkSync('/etc/passwd', at('passwd'));
    mkdirSync(at('attachments'));
    symlinkSync('/etc/passwd', at(`attachments/${hash}.jpg`));
    expect(codeOf(readHashed(realDisk, folder, 'attachments', hash, 'jpg'))).toBe('file-kind');
    expect(codeOf(readHashed(realDisk, folder, 'attachments', '../../etc/passwd', 'jpg'))).toBe('file-name');
    for (const extension of ['', '../x', 'JPG', 'a/b', 'x'.repeat(9), 'a.b'])
      expect(codeOf(keepHashed(realDisk, folder, 'attachments', bytes, extension))).toBe('file-name');
    expect(hashName(hash.toUpperCase(), 'jpg')).toBeUndefined();
  });
});

describe('a record', () => {
  const files = new Map([
    ['record.json', Buffer.from('{}')],
    ['record.json.sig', Buffer.from('sig')],
    ['holds/1.json', Buffer.from('answer')],
  ]);

  it('appears with all its files, which others may read', () => {
    const umask = process.umask(0o077);
    try {
      valueOf(publishFolder(realDisk, folder, 'records/job-1/1', files));
    } finally {
      process.umask(umask);
    }
    expect(realDisk.list(at('records/job-1'))).toEqual(['1']);
    for (const [name, content] of files) {
      expect(readFileSync(at(`records/job-1/1/${name}`))).toEqual(content);
      expect(modeOf(at(`records/job-1/1/${name}`))).toBe('644');
    }
    expect(modeOf(at('records/job-1/1/holds'))).toBe('755');
    expect(codeOf(publishFolder(realDisk, folder, 'records/job-1/1', files))).toBe('record-exists');
    expect(codeOf(publishFolder(realDisk, folder, 'records/job-1/2', files))).toBe('taken');
  });

  it('is whole or absent, whenever the power goes, and is written on the next try', () => {
    let whole = 0;
    for (let call = 0; call < 40; call += 1)
      for (const names of [true, false])
        for (const bytes of [0, 1]) {
          const disk = memoryDisk();
          disk.put('/state/x', '');
          disk.cutAt(call);
          let told = false;
          try {
            told = publishFolder(disk, '/state', 'records/job-1/1', files).ok;
          } catch (error) {
            if (!(error instanceof PowerCut)) throw error;
          }
          const back = disk.after({ bytes, names });
          const there = back.paths().filter((name) => name.startsWith('/state/records/job-1/1/'));
          if (told) expect(there, `call ${call}`).toHaveLength(3);
          if (there.length > 0) {
            for (const [name, content] of files) expect(back.bytes(`/state/records/job-1/1/${name}`)).toEqual(content);
            whole += 1;
          } else expect(codeOf(publishFolder(back, '/state', 'records/job-1/1', files))).toBe('taken');
          expect(back.paths().some((name) => name.split('/').some(isTemporary) && there.length > 0)).toBe(false);
        }
    expect(whole).toBeGreaterThan(10);
  });

  it('accepts no name that leads out of its folder', () => {
    for (const name of ['../x', '/x', 'a/../x', '.hidden', 'a/b/c', '', 'a//b', 'a\\b', 'a\u0000'])
      expect(codeOf(publishFolder(realDisk, folder, 'records/j/1', new Map([[name, Buffer.from('')]])))).toBe(
        'record-name',
      );
    expect(isRecordName('holds/12.json.sig')).toBe(true);
    expect(recordFolder('..', 1)).toBeUndefined();
    expect(recordFolder('a/b', 1)).toBeUndefined();
    expect(recordFolder('job-1', 0)).toBeUndefined();
    expect(inState('/s', recordFolder('job-1', 2) ?? '')).toBe('/s/records/job-1/2');
  });
});

describe('private keys', () => {
  it('are kept where nobody else may read them, one for each person', () => {
    const keys = at('keys');
    expect(valueOf(peopleWithKeys(realDisk, keys))).toEqual([]);
    expect(codeOf(readKeyFileOf(realDisk, keys, 'first'))).toBe('file-missing');
    valueOf(writeKeyFileOf(realDisk, keys, 'first', 'secret'));
    valueOf(writeKeyFileOf(realDisk, keys, 'second', 'other'));
    writeFileSync(at('keys/notes.txt'), '');
    expect(valueOf(readKeyFileOf(realDisk, keys, 'first')).text).toBe('secret');
    expect(valueOf(peopleWithKeys(realDisk, keys))).toEqual(['first', 'second']);
    expect([modeOf(keys), modeOf(at('keys/first.key'))]).toEqual(['700', '600']);
    for (const person of ['', '../x', 'First', 'a/b', 'a.b'])
      expect(codeOf(writeKeyFileOf(realDisk, keys, person, 'x'))).toBe('person-name');
  });

  it('may be links where a person names the file', () => {
    writeFileSync(at('id'), 'secret');
    symlinkSync(at('id'), at('link'));
    expect(valueOf(readKeyFileAt(realDisk, at('link'))).text).toBe('secret');
  });

  it('are rewritten behind a link, unless somebody has changed them meanwhile', () => {
    writeFileSync(at('id'), 'secret');
    symlinkSync(at('id'), at('link'));
    const file = valueOf(readKeyFileAt(realDisk, at('link')));
    valueOf(rewriteKeyFile(realDisk, file, 'other'));
    expect([readFileSync(at('id'), 'utf8'), modeOf(at('id'))]).toEqual(['other', '600']);
    expect(readlinkSync(at('link'))).toBe(at('id'));
    valueOf(rewriteKeyFile(realDisk, file, 'too late'));
    expect(readFileSync(at('id'), 'utf8')).toBe('other');
  });

  it('hold their whole old text or their whole new one, whenever the power goes while they are rewritten', () => {
    const before = { path: '/keys/first.key', text: 'old '.repeat(100) };
    const after = 'new '.repeat(200);
    const rewrite = (cut = Infinity) => {
      const disk = memoryDisk();
      disk.put(before.path, before.text);
      disk.cutAt(cut);
      try {
        rewriteKeyFile(disk, before, after);
      } catch (error) {
        if (!(error instanceof PowerCut)) throw error;
      }
      return disk;
    };
    const { calls } = rewrite();
    expect(calls).toBeGreaterThan(8);
    const found = new Set<string>();
    for (let cut = 0; cut <= calls; cut += 1)
      for (const bytes of [0, 0.5, 1])
        for (const names of [true, false])
          found.add(rewrite(cut).after({ bytes, names }).bytes(before.path).toString());
    expect(found).toEqual(new Set([before.text, after]));
  });
});

describe('a new state', () => {
  it('tells git to leave its bytes alone, and keeps a file that a person wrote for git', () => {
    const state = at('new/state');
    valueOf(beginState(realDisk, state));
    expect(readFileSync(join(state, '.gitattributes'), 'utf8')).toBe('* -text\n');
    writeFileSync(join(state, '.gitattributes'), 'mine');
    valueOf(beginState(realDisk, state));
    expect(readFileSync(join(state, '.gitattributes'), 'utf8')).toBe('mine');
  });

  it('gives a fault where it cannot be written, and throws nothing', () => {
    writeFileSync(at('file'), '');
    expect(codeOf(beginState(realDisk, at('file/state')))).toBe('file-kind');
    chmodSync(folder, 0o555);
    expect(asNobody(() => codeOf(beginState(realDisk, at('state'))))).toBe('disk-read-only');
    chmodSync(folder, 0o700);
  });
});
