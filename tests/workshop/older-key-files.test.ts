import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { elsewhereText } from '../../src/signing/key-text.ts';
import { readKeyFile } from '../../src/signing/openssh.ts';
import { newSecret } from '../../src/signing/secret.ts';
import { readKeyFileAt } from '../../src/store/key-files.ts';
import { findKey, openKey } from '../../src/workshop/keys/open-key.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom, sshKeygen } from '../signing/openssh.ts';
import { scryptEnvelope } from '../signing/scrypt-envelopes.ts';
import { memoryDisk, type MemoryDisk } from '../store/memory-disk.ts';
import { machine } from '../support/command.ts';

/* A key file in the format that dryfit used to write is rewritten in OpenSSH's as soon as its passphrase opens it. */

const random = fixedRandom();
const secret = newSecret(random);
const passphrase = 'keel and strut';
const older = scryptEnvelope(secret, passphrase, random);
const path = '/keys/ines.key';

const placeOn = (disk: MemoryDisk): Workplace => ({
  disk,
  state: '/state',
  config: '/config',
  cache: '/cache',
  procedures: '/procedures',
  wall: () => 0,
  monotonic: () => 0,
  offset: () => 0,
  random,
});

const diskWith = (text: string): MemoryDisk => {
  const disk = memoryDisk();
  disk.put(path, text);
  return disk;
};

const openOn = (disk: MemoryDisk, typed: string, at = path): string => {
  const place = placeOn(disk);
  const file = readKeyFileAt(disk, at);
  const key = file.ok ? findKey(place, file.value) : file;
  return codeOf(key.ok ? openKey(place, key.value, 'ines', typed) : key);
};

const formatOn = (disk: MemoryDisk): string => (disk.bytes(path).toString().startsWith('{') ? 'older' : 'openssh');

describe('an older key file', () => {
  it('is rewritten once its passphrase opens it, and opens with the same passphrase', () => {
    const disk = diskWith(older);
    expect(openOn(disk, passphrase)).toBe('taken');
    expect(formatOn(disk)).toBe('openssh');
    const rewritten = disk.bytes(path).toString();
    expect(openOn(disk, `${passphrase}s`)).toBe('passphrase');
    expect(openOn(disk, passphrase)).toBe('taken');
    expect(disk.bytes(path).toString()).toBe(rewritten); // it is rewritten only once
  });

  it('stays as it is after a wrong passphrase or none', () => {
    const disk = diskWith(older);
    expect(openOn(disk, 'wrong')).toBe('passphrase');
    expect(openOn(disk, '')).toBe('passphrase-wanted');
    expect(disk.bytes(path).toString()).toBe(older);
  });

  it('is rewritten where it is, when another file names it', () => {
    const disk = diskWith(older);
    disk.put('/config/keys/ines.key', elsewhereText(path));
    expect(openOn(disk, passphrase, '/config/keys/ines.key')).toBe('taken');
    expect(formatOn(disk)).toBe('openssh');
    expect(disk.bytes('/config/keys/ines.key').toString()).toBe(elsewhereText(path));
  });

  it.each(['EROFS', 'ENOSPC', 'EACCES'])(
    'signs although the disk refuses to write it (%s), and is rewritten next time',
    (code) => {
      const disk = diskWith(older);
      disk.trouble = (call) => (call === 'write' || call === 'rename' ? code : undefined);
      expect(openOn(disk, passphrase)).toBe('taken');
      expect(disk.bytes(path).toString()).toBe(older);
      disk.trouble = () => undefined;
      expect(openOn(disk, passphrase)).toBe('taken');
      expect(formatOn(disk)).toBe('openssh');
    },
  );
});

describe('on a machine that has such a file', () => {
  it('an entry is signed with it, and from then on ssh-keygen opens it', async () => {
    const own = machine();
    const run = (stdin: string, ...argv: readonly string[]) => own.run([...argv, '--state', own.state], { stdin });
    expect((await run('one\n', 'person', 'add', 'ines', '--passphrase')).code).toBe(0);
    const file = join(own.folder, 'home/.config/dryfit/keys/ines.key');
    const made = valueOf(readKeyFile(readFileSync(file, 'utf8')));
    if (made.kind !== 'locked') throw new Error('the key is open');
    const key = valueOf(made.unlock('one'));
    writeFileSync(file, scryptEnvelope(key, 'one', random));

    expect((await run('', 'key')).out).toContain('with a passphrase');
    expect((await run('two\n', 'do', '-', 'temperature', '19 °C')).code).toBe(2);
    expect(readFileSync(file, 'utf8')).toContain('scrypt');
    expect(await run('one\n', 'do', '-', 'temperature', '19 °C')).toMatchObject({ code: 0, err: '' });
    expect(sshKeygen(['-y', '-P', 'one', '-f', file]).out).toContain(key.publicKey.text);
    expect((await run('one\n', 'do', '-', 'temperature', '19 °C')).code).toBe(0);
    expect(await run('one\ntwo\n', 'key', 'passphrase')).toMatchObject({ code: 0, err: '' });
    expect(sshKeygen(['-y', '-P', 'two', '-f', file]).status).toBe(0);
    expect(await run('', 'verify')).toMatchObject({ code: 0, err: '' });
  });
});
