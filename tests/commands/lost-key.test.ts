import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { fixture, machine, type Machine, type RunOptions } from '../support/command.ts';

/* A key is lost: replaced with a recovery key, with the word of another inspector, or the person goes on as a new one, marked. */

let own: Machine;
const on =
  (one: Machine) =>
  (argv: readonly string[], options: RunOptions = {}) =>
    one.run([...argv, '--state', one.state], options);
const at = (argv: readonly string[], options: RunOptions = {}) => on(own)(argv, options);
const says = (text: string) => expect.stringContaining(text) as string;
const good = { code: 0, err: '' };
const temperature = ['do', '-', 'temperature', '19 °C'];
const keyFile = (person: string): string => join(own.folder, 'home', '.config', 'dryfit', 'keys', `${person}.key`);
const dataOfLast = (): Readonly<Record<string, string>> =>
  (own.journal().at(-1)?.['data'] ?? {}) as Record<string, string>;
const lose = (person: string): void => rmSync(keyFile(person));
const fingerprints = async (person: string): Promise<readonly string[]> =>
  ((await at(['key', '--json'])).json() as { keys: { person: string; fingerprint: string; ended?: string }[] }).keys
    .filter((key) => key.person === person && key.ended === undefined)
    .map(({ fingerprint }) => fingerprint);

beforeEach(async () => {
  own = machine();
  expect(await at(['person', 'add', 'ines', '--name', 'Ines Varrow'])).toMatchObject(good);
});

describe('a recovery key', () => {
  const kept = (): string => join(own.folder, 'recovery');
  const make = () => at(['key', 'recovery', 'recovery'], { stdin: 'far away\n' });

  it('gets a person whose key is lost a new one, once', async () => {
    expect(await make()).toMatchObject({ code: 0, err: says('lay recovery away') });
    expect(statSync(kept()).mode & 0o777).toBe(0o600);
    const opensWith = (passphrase: string): boolean =>
      spawnSync('ssh-keygen', ['-y', '-P', passphrase, '-f', kept()]).status === 0;
    expect([opensWith(''), opensWith('far away')]).toEqual([false, true]);
    expect(own.journal().at(-1)).toMatchObject({ type: 'recovery', by: 'ines', also: [{ by: 'ines' }] });
    const [before] = await fingerprints('ines');
    lose('ines');
    expect(await at(temperature)).toMatchObject({ code: 2 });
    const replace = ['key', 'replace', 'ines', '--recovery', 'recovery'];
    expect(await at(replace, { stdin: 'near by\n' })).toMatchObject({ code: 2, err: says('passphrase: ') });
    expect(await at(replace, { stdin: 'far away\n' })).toMatchObject(good);
    expect(await fingerprints('ines')).not.toContain(before);
    expect(await at(temperature)).toMatchObject(good);
    expect((await at(['key'])).out).not.toContain('for recovery');
    // it is spent: whoever finds it later has found nothing
    expect(await at(replace, { stdin: 'far away\n' })).toMatchObject({ code: 2, err: says('key-unknown') });
    expect(await at(['verify'])).toMatchObject(good);
  });

  it('signs nothing else, and is in no list of signers', async () => {
    await make();
    const fingerprint = own.journal().at(-1)?.['key'] as string;
    expect((await at(['key'])).out).toContain(`ines  ${fingerprint}  for recovery`);
    const signers = own.read('state/allowed_signers').trim().split('\n');
    expect(signers).toHaveLength(1);
    expect(own.read('state/allowed_signers')).not.toContain(dataOfLast()['key']);
    expect(await at([...temperature, '--key', 'recovery'], { stdin: 'far away\n' })).toMatchObject(good);
    expect(own.journal().at(-1)?.['key']).not.toBe(fingerprint); // the key that lies here signed
    lose('ines');
    expect((await at([...temperature, '--key', 'recovery'], { stdin: 'far away\n' })).code).toBe(2);
    expect((await at(['key', 'here', '--key', 'recovery'], { stdin: 'far away\n' })).code).toBe(2);
  });

  it('that is made anew ends the one before; it is never written into the state, nor over an existing file', async () => {
    await make();
    expect(await make()).toMatchObject({ code: 2, err: says('file-there') });
    const inside = await at(['key', 'recovery', join('state', 'mine')], { stdin: 'far away\n' });
    expect(inside).toMatchObject({ code: 2, err: says('file-inside') });
    expect(existsSync(join(own.state, 'mine'))).toBe(false);
    expect(await at(['key', 'recovery', 'second'], { stdin: 'far away\n' })).toMatchObject({ code: 0 });
    const replace = (file: string) => at(['key', 'replace', 'ines', '--recovery', file], { stdin: 'far away\n' });
    expect(await replace('recovery')).toMatchObject({ code: 2, err: says('key-unknown') });
    expect(await replace('second')).toMatchObject(good);
    expect(await at(['verify'])).toMatchObject(good);
  });

  it("is nobody else's: another person's does not help", async () => {
    const tobias = join(own.folder, 'of tobias');
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', tobias]);
    await at(['person', 'add', 'tobias', '--power', 'inspector', '--key', tobias]);
    await at(['key', 'recovery', 'of-tobias', '--as', 'tobias', '--key', tobias], { stdin: 'his own\n' });
    const asked = await at(['key', 'replace', 'ines', '--recovery', 'of-tobias'], { stdin: 'his own\n' });
    expect(asked).toMatchObject({ code: 2, err: says('key-unknown') });
    const helps = await at(['key', 'replace', 'tobias', '--recovery', 'of-tobias'], { stdin: 'his own\nnew one\n' });
    expect(helps).toMatchObject(good);
    expect(await at(['verify'])).toMatchObject(good);
  });
});

const sign = (file: string, key: string): void => {
  rmSync(join(own.folder, `${file}.sig`), { force: true });
  execFileSync('ssh-keygen', ['-Y', 'sign', '-n', 'dryfit-record', '-f', key, file], {
    cwd: own.folder,
    stdio: 'pipe',
  });
};
const verifies = (person: string, file: string): boolean =>
  spawnSync(
    'ssh-keygen',
    ['-Y', 'verify', '-f', 'state/allowed_signers', '-I', person, '-n', 'dryfit-record', '-s', `${file}.sig`],
    { cwd: own.folder, input: readFileSync(join(own.folder, file)) },
  ).status === 0;

describe("an inspector's lost key", () => {
  const add = async (person: string): Promise<string> => {
    const path = join(own.folder, `key of ${person}`);
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', path]);
    expect(await at(['person', 'add', person, '--power', 'inspector', '--key', path])).toMatchObject(good);
    return path;
  };
  const fresh = (name: string): string => {
    const path = join(own.folder, name);
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', path]);
    return path;
  };

  it('is replaced when another inspector vouches for it, not when a builder does', async () => {
    await add('tobias');
    const marit = await add('marit');
    const next = fresh('new key of tobias');
    const replace = ['key', 'replace', 'tobias', '--new', next];
    const entries = own.journal().length;
    expect(await at(replace)).toMatchObject({ code: 3, err: says('neither their old one nor another inspector') });
    expect(own.journal().length).toBe(entries);
    expect(await at([...replace, '--as', 'marit', '--key', marit])).toMatchObject(good);
    expect(await at(['verify'])).toMatchObject(good);
  });

  it('ssh-keygen verifies what was signed with the old and the new key, and with no other', async () => {
    const old = await add('tobias');
    writeFileSync(join(own.folder, 'before'), 'signed before\n');
    sign('before', old);
    expect(verifies('tobias', 'before')).toBe(true);
    const next = fresh('new key of tobias');
    expect(await at(['key', 'replace', 'tobias', '--new', next, '--as', 'tobias', '--key', old])).toMatchObject(good);
    expect(verifies('tobias', 'before')).toBe(true);
    writeFileSync(join(own.folder, 'after'), 'signed after\n');
    sign('after', next);
    expect(verifies('tobias', 'after')).toBe(true);
    expect(verifies('ines', 'after')).toBe(false);
    sign('after', fresh('a stranger'));
    expect(verifies('tobias', 'after')).toBe(false);
    expect(await at(['verify'])).toMatchObject(good);
  });
});

describe('a key that is lost with nobody to vouch', () => {
  it('is followed by a new person, marked wherever they are named', async () => {
    expect(await at(['start', 'small-plate', '--each', 'left', '--procedures', fixture('procedures')])).toMatchObject({
      code: 0,
    });
    lose('ines');
    expect(await at(['person', 'add', 'ines-2', '--follows', 'nobody'])).toMatchObject({
      code: 2,
      err: says('unknown-id'),
    });
    const added = await at(['person', 'add', 'ines-2', '--follows', 'ines']);
    expect(added).toMatchObject({ ...good, out: says('follows ines: marked as a new person') });
    const told = (await at(['person'])).out;
    expect(told).toContain('ines-2  Ines Varrow  builder');
    expect(told).toContain('follows ines, whose key is lost; nobody signed for that');
    expect(await at([...temperature, '--as', 'ines-2'])).toMatchObject(good);
    expect(await at(['do', 'small-plate', 'read', 'width', 'value=12.5 mm', '--as', 'ines-2'])).toMatchObject(good);
    const verified = await at(['verify']);
    expect(verified).toMatchObject(good);
    expect(verified.out).toContain('not proved: that ines-2 is ines, whose key was lost; nobody else signed for it');
    const record = await at(['record', 'small-plate', '--json']);
    expect((record.json() as { people: unknown[] }).people).toContainEqual(
      expect.objectContaining({ person: 'ines-2', follows: 'ines' }),
    );
    const text = await at(['record', 'small-plate']);
    expect(text.out.replaceAll(/\s+/g, ' ')).toContain('that they are the same person is not proved');
  });

  it('may have somebody known sign for them, and is marked nevertheless', async () => {
    const path = join(own.folder, 'of marit');
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', path]);
    await at(['person', 'add', 'marit', '--power', 'builder', '--key', path]);
    const added = await at(['person', 'add', 'ines-2', '--follows', 'ines', '--as', 'marit', '--key', path]);
    expect(added).toMatchObject({ code: 2, err: says('this is the key of marit') });
    lose('ines');
    const next = join(own.folder, 'next of ines');
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', next]);
    await at(['key', 'here', '--as', 'marit', '--key', path]);
    const follows = ['person', 'add', 'ines-2', '--follows', 'ines', '--as', 'marit', '--key', next];
    expect(await at(follows)).toMatchObject(good);
    expect((await at(['verify'])).out).toContain('marit signed for it');
  });
});

describe('rule 3: whoever follows somebody is not a second person', () => {
  it('and may not release work done under the other id', async () => {
    const draft = join(own.state, 'build.yaml');
    writeFileSync(draft, readFileSync(draft, 'utf8').replace('- builder', '- builder\n      - inspector'));
    expect(await at(['key', 'accept'])).toMatchObject({ code: 0 });
    writeFileSync(join(own.folder, 'dry.jpg'), 'a picture');
    await at(['start', 'small-plate', '--each', 'left', '--procedures', fixture('procedures')]);
    const enter = (...words: readonly string[]) => at(['do', 'small-plate', ...words]);
    await enter('read', 'width', 'value=12.5 mm', '--as', 'ines');
    await enter('finish', 'measure', '--as', 'ines');
    await enter('photo', 'dry', 'file=dry.jpg', '--as', 'ines');
    await enter('finish', 'dry-fit', '--as', 'ines');
    expect(await enter('finish', 'fix', '--as', 'ines')).toMatchObject({ code: 0 });
    expect(await enter('release', 'inspect', '--as', 'ines')).toMatchObject({ code: 3, err: says('own-work') });
    lose('ines');
    expect(await at(['person', 'add', 'ines-2', '--follows', 'ines'])).toMatchObject(good);
    expect((await at(['person'])).out).toContain('builder, inspector');
    expect(await enter('release', 'inspect', '--as', 'ines-2')).toMatchObject({ code: 3, err: says('own-work') });
    expect(await at(['person', 'add', 'ines-3', '--follows', 'ines-2'])).toMatchObject(good);
    expect(await enter('release', 'inspect', '--as', 'ines-3')).toMatchObject({ code: 3, err: says('own-work') });
  });
});

describe('two machines, and a key that is replaced on one of them', () => {
  const journals = (one: Machine): readonly string[] => readdirSync(join(one.state, 'journal'));
  const sizeOf = (path: string): number => (existsSync(path) ? statSync(path).size : -1);
  /** Journal files only grow: of two the longer one is the newer. */
  const merge = (from: Machine, into: Machine): void => {
    for (const name of journals(from)) {
      const [theirs, ours] = [join(from.state, 'journal', name), join(into.state, 'journal', name)];
      if (sizeOf(theirs) > sizeOf(ours)) cpSync(theirs, ours);
    }
  };
  const scene = async (): Promise<Machine> => {
    const other = machine();
    expect(await at(['start', 'small-plate', '--each', 'left', '--procedures', fixture('procedures')])).toMatchObject({
      code: 0,
    });
    cpSync(own.state, other.state, { recursive: true });
    cpSync(keyFile('ines'), join(other.folder, 'ines.key'));
    expect(await on(other)([...temperature, '--key', 'ines.key', '--as', 'ines'])).toMatchObject({ code: 0 });
    return other;
  };
  const late = { now: '2026-03-03T10:00:00+01:00' };
  const read = ['do', 'small-plate', 'read', 'width', 'value=12.5 mm', '--as', 'ines'];

  it('what the other wrote meanwhile with the old key is kept and listed, and can be settled', async () => {
    const other = await scene();
    expect(await at(['key', 'replace', 'ines'])).toMatchObject(good);
    expect(await on(other)([...read, '--key', 'ines.key'], late)).toMatchObject({ code: 0 });
    merge(other, own);
    merge(own, other);
    expect(journals(own)).toHaveLength(2);
    for (const one of [own, other]) {
      const verified = await on(one)(['verify']);
      expect(verified).toMatchObject({ code: 1 });
      expect(verified.err).toMatch(
        /conflict between machines, not settled: read .* it is signed with a key of ines that \S+ ended/,
      );
    }
    const stopped = await at(['do', 'small-plate', 'finish', 'measure', '--as', 'ines'], late);
    expect(stopped).toMatchObject({ code: 3, err: says('refused') });
    // the old key signs nothing more, once it is known there that it ended
    expect((await on(other)([...read, '--key', 'ines.key'], late)).code).not.toBe(0);
    const contradicted = /\((\S+:\d+)\) contradicts/.exec((await at(['verify'])).err)?.[1] ?? '';
    expect(await at(['do', '-', 'settle', contradicted, 'keep=yes', '--as', 'ines'], late)).toMatchObject({ code: 0 });
    expect(await at(['do', 'small-plate', 'finish', 'measure', '--as', 'ines'], late)).toMatchObject({ code: 0 });
    expect(await at(['verify'])).toMatchObject({ code: 0 });
  });

  /** What stands open, by its entry. */
  const open = (text: string): readonly string[] =>
    text
      .split('\n')
      .flatMap((line) => (line.includes('not settled') ? (/\((\S+:\d+)\) contradicts/.exec(line)?.[1] ?? []) : []));

  it('replaced on both, the later key and all that it signed are in doubt until somebody settles that', async () => {
    const other = await scene();
    expect(await at(['key', 'replace', 'ines'])).toMatchObject(good);
    const typed = { ...late, stdin: 'a secret\n' };
    const replace = ['key', 'replace', 'ines', '--as', 'ines', '--key', 'ines.key', '--passphrase'];
    expect(await on(other)(replace, typed)).toMatchObject({ code: 0 });
    expect(await on(other)(read, typed)).toMatchObject({ code: 0 });
    merge(other, own);
    merge(own, other);
    for (const one of [own, other])
      expect(await on(one)(['verify'])).toMatchObject({ code: 1, err: says('2 conflicts not settled') });
    expect(await fingerprints('ines')).toHaveLength(1);
    const [key = '', reading = '', ...more] = open((await at(['verify'])).err);
    expect(more).toEqual([]);
    // whoever holds the doubted key cannot settle it themself
    const settle = (entry: string, keep: string) => ['do', '-', 'settle', entry, `keep=${keep}`, '--as', 'ines'];
    expect(await on(other)(settle(key, 'yes'), typed)).toMatchObject({ code: 2, err: says('has ended with entry') });
    expect(await at(settle(key, 'yes'), late)).toMatchObject({ code: 0 });
    expect(await at(settle(reading, 'yes'), late)).toMatchObject({ code: 0 });
    expect(await fingerprints('ines')).toHaveLength(2);
    expect(await at(['verify'])).toMatchObject({ code: 0 });
    merge(own, other);
    expect(await on(other)([...temperature, '--as', 'ines'], typed)).toMatchObject({ code: 0 });
    expect(await on(other)(['verify'])).toMatchObject({ code: 0 });
  });

  it('a thief with the ended key ends no key, and signs nothing that counts', async () => {
    const other = await scene();
    expect(await at(['key', 'replace', 'ines'])).toMatchObject(good);
    const [owner = ''] = await fingerprints('ines');
    const typed = { ...late, stdin: 'stolen\n' };
    const replace = ['key', 'replace', 'ines', '--as', 'ines', '--key', 'ines.key', '--passphrase'];
    expect(await on(other)(replace, typed)).toMatchObject({ code: 0 });
    expect(await on(other)(read, typed)).toMatchObject({ code: 0 });
    merge(other, own);
    expect(await fingerprints('ines')).toEqual([owner]);
    const entries = open((await at(['verify'])).err);
    expect(entries).toHaveLength(2);
    for (const entry of entries)
      expect(await at(['do', '-', 'settle', entry, 'keep=no', '--as', 'ines'], late)).toMatchObject({ code: 0 });
    expect(await fingerprints('ines')).toEqual([owner]);
    merge(own, other);
    expect((await on(other)(read, typed)).code).toBe(2);
    const finish = ['do', 'small-plate', 'finish', 'measure', '--as', 'ines'];
    expect(await at(finish, late)).toMatchObject({ code: 3, err: says('part-missing') }); // the reading does not stand
    expect(await at(['verify'])).toMatchObject({ code: 0 });
  });
});
