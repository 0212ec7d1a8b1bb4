import { execFileSync } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { fixture, machine, type Machine } from '../support/command.ts';

const original = machine();
let job = '';
beforeAll(async () => {
  const ran = await original.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', original.state]);
  expect(ran.code).toBe(0);
  [job = ''] = readdirSync(join(original.state, 'records'));
});

/** A copy of the state to be harmed. */
const copy = (): Machine => {
  const own = machine();
  cpSync(original.state, own.state, { recursive: true });
  return own;
};
const verify = (own: Machine, ...argv: readonly string[]) => own.run(['verify', ...argv, '--state', own.state]);
const journalPath = (own: Machine): string =>
  join(own.state, 'journal', readdirSync(join(own.state, 'journal'))[0] ?? '');
const recordPath = (own: Machine, name: string): string => join(own.state, 'records', job, '1', name);
const change = (path: string, edit: (text: string) => string): void => {
  const before = readFileSync(path, 'utf8');
  const after = edit(before);
  expect(after).not.toBe(before);
  writeFileSync(path, after);
};

const wrong = async (own: Machine, ...found: readonly (string | RegExp)[]): Promise<void> => {
  const ran = await verify(own);
  for (const one of found) expect(ran.err).toMatch(one);
  expect(ran.err).not.toMatch(/\n\s+at /);
  expect(ran.code).toBe(1);
};
const noted = async (own: Machine, ...found: readonly string[]): Promise<void> => {
  const ran = await verify(own);
  expect(ran.err).toBe('');
  for (const one of found) expect(ran.out).toContain(one);
  expect(ran.code).toBe(0);
};

describe('verify, of a state that was tampered with (exit 1)', () => {
  it('finds a value changed in the journal', async () => {
    const own = copy();
    change(journalPath(own), (text) => text.replace('"22.1 mm"', '"22.0 mm"'));
    await wrong(own, /journal\/[a-z2-7]{8}\.jsonl:\d+/);
  });

  it('finds a line removed from the middle', async () => {
    const own = copy();
    change(journalPath(own), (text) => text.split('\n').toSpliced(10, 1).join('\n'));
    await wrong(own, /\.jsonl:11: line 12 of its writer where 11 belongs/);
  });

  it('finds lines removed from the end that a record depends on', async () => {
    const own = copy();
    change(journalPath(own), (text) => `${text.split('\n').slice(0, -3).join('\n')}\n`);
    await wrong(own, 'it rests on a journal line that is not here');
  });

  it('finds spaces put into a line, which is then not canonical', async () => {
    const own = copy();
    change(journalPath(own), (text) => text.replace('"type":"finish"', '"type": "finish"'));
    await wrong(own, /jsonl:\d+/);
  });

  it('finds any changed byte of record.json', async () => {
    for (const [from, to] of [
      ['22.1 mm', '22.2 mm'],
      ['"within"', '"outside"'],
      ['first', 'thirst'],
    ] as const) {
      const own = copy();
      change(recordPath(own, 'record.json'), (text) => text.replace(from, to));
      await wrong(own, 'signature is not good');
    }
  });

  it('finds a signed record that differs from the journal', async () => {
    const own = copy();
    const path = recordPath(own, 'record.json');
    change(path, (text) => text.replace('"21.9 mm"', '"22.0 mm"'));
    rmSync(`${path}.sig`);
    execFileSync('ssh-keygen', [
      '-q',
      '-Y',
      'sign',
      '-n',
      'dryfit-record',
      '-f',
      join(own.state, 'scripted-keys/first.key'),
      path,
    ]);
    await wrong(own, /corrections\[1\]\.is is "22\.0 mm" here, and "21\.9 mm" by the journal/);
  });

  it('finds white space, and any other byte, changed in a signature file', async () => {
    const edits: readonly ((text: string) => string)[] = [
      (text) => `${text}\n`,
      (text) => text.slice(0, -1),
      (text) => text.replaceAll('\n', '\r\n'),
      (text) => text.replace(/(.{70})\n/, '$1'),
      (text) => text.replace(/(.{30})(.{40})\n/, '$1\n$2\n'),
    ];
    for (const name of ['record.json.sig', 'record.html.sig', 'holds/inspect-2.json.sig'])
      for (const edit of edits) {
        const own = copy();
        change(recordPath(own, name), edit);
        await wrong(own, name.startsWith('holds') ? 'inspect-2.json.sig has been changed' : name);
      }
  });

  it('takes a record that ssh-keygen signed as good', async () => {
    const own = copy();
    const path = recordPath(own, 'record.json');
    rmSync(`${path}.sig`);
    const key = join(own.state, 'scripted-keys/first.key');
    execFileSync('ssh-keygen', ['-q', '-Y', 'sign', '-n', 'dryfit-record', '-f', key, path]);
    expect((await verify(own)).code).toBe(0);
    rmSync(`${path}.sig`);
    execFileSync('ssh-keygen', ['-q', '-Y', 'sign', '-O', 'hashalg=sha256', '-n', 'dryfit-record', '-f', key, path]);
    expect((await verify(own)).code).toBe(0);
  });

  it('finds a changed answer to a hold', async () => {
    const own = copy();
    change(recordPath(own, 'holds/inspect-2.json'), (text) =>
      text.replace('squeeze-out continuous', 'squeeze-out fine'),
    );
    await wrong(own, 'inspect-2.json has been changed');
  });

  it('finds a changed or missing text of the procedure', async () => {
    const own = copy();
    const folder = join(own.state, 'procedures');
    const [name = ''] = readdirSync(folder);
    change(join(folder, name), (text) => text.replace('at most 0.15 mm', 'at most 0.25 mm'));
    await wrong(own, name);
    rmSync(join(folder, name));
    await wrong(own, name);
  });

  it('finds a key in allowed_signers that the journal does not have', async () => {
    const own = copy();
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', join(own.folder, 'k')]);
    appendFileSync(join(own.state, 'allowed_signers'), `first ${readFileSync(join(own.folder, 'k.pub'), 'utf8')}`);
    await wrong(own, 'allowed_signers: it names a key that the journal does not have');
  });

  it('finds a record folder without its record', async () => {
    const own = copy();
    rmSync(recordPath(own, 'record.json'));
    await wrong(own, 'record.json is missing');
  });
});

describe('verify, of what a killed process may leave (exit 0)', () => {
  it('reports a torn last line', async () => {
    const own = copy();
    appendFileSync(journalPath(own), '{"at":"2026-03-');
    await noted(own, 'this line is not whole: the power went while it was written');
  });

  it('reports a whole last line without its line feed', async () => {
    const own = copy();
    change(journalPath(own), (text) => text.slice(0, -1));
    await noted(own);
  });

  it('reports a record that is still to be written', async () => {
    const own = copy();
    rmSync(join(own.state, 'records'), { recursive: true });
    await noted(own, 'completed, and its record is owed', 'nothing was found changed; open: 1 record owed');
    expect((await verify(own)).out).not.toContain('nothing is wrong');
  });

  it('reports that allowed_signers is missing, or behind', async () => {
    const own = copy();
    change(join(own.state, 'allowed_signers'), (text) => `${text.split('\n')[0] ?? ''}\n`);
    await noted(own, 'behind the journal');
    rmSync(join(own.state, 'allowed_signers'));
    await noted(own, 'missing; it is rebuilt');
  });

  it('reports files that no entry names, temporary files, and a draft not signed for', async () => {
    const own = copy();
    mkdirSync(join(own.state, 'attachments'));
    writeFileSync(join(own.state, 'attachments', `${'0'.repeat(64)}.jpg`), 'x');
    writeFileSync(join(own.state, 'builds', '.x.tmp'), 'x');
    appendFileSync(join(own.state, 'build.yaml'), '# more\n');
    await noted(own, 'no entry names this file', 'a temporary file', 'a draft that is not taken in yet');
  });

  it('reports conflict copies in journal/', async () => {
    const own = copy();
    writeFileSync(join(own.state, 'journal', 'x (conflicted copy).jsonl'), 'x');
    await noted(own, 'this is no journal file, and is not read');
  });

  it('reports a state that is not begun', async () => {
    const own = machine();
    mkdirSync(join(own.state, 'journal'), { recursive: true });
    await noted(own, 'not begun: the journal has no entry', 'not begun: there is no entry to verify');
    expect((await verify(own)).out).not.toContain('nothing is wrong');
  });

  it('reports that build.yaml is missing', async () => {
    const own = copy();
    rmSync(join(own.state, 'build.yaml'));
    await noted(own, 'missing; the build in force is builds/');
  });
});

describe('what is missing is written by the next session that writes', () => {
  it('and the state verifies: record, allowed_signers; the torn tail of another machine stays', async () => {
    const own = copy();
    rmSync(join(own.state, 'records'), { recursive: true });
    rmSync(join(own.state, 'allowed_signers'));
    const torn = journalPath(own);
    appendFileSync(torn, '{"at":"2026-03-');
    const ran = await own.run([
      'do',
      'keel',
      'remark',
      'looked again',
      '--as',
      'first',
      '--state',
      own.state,
      '--now',
      '2026-03-12T09:00:00+01:00',
    ]);
    expect(ran.code).toBe(0);
    expect(existsSync(join(own.state, 'torn'))).toBe(false);
    expect(readFileSync(torn, 'utf8')).toMatch(/\{"at":"2026-03-$/);
    const after = await verify(own);
    expect(after.out).toMatch(/^open: .*\.jsonl:\d+: this line is not whole/m);
    expect(after.code).toBe(0);
    expect(readdirSync(join(own.state, 'records', job))).toContain('1');
  });

  it('and a remark after completion writes 2/, which names 1/', async () => {
    const own = copy();
    const at = ['--as', 'first', '--state', own.state, '--now', '2026-03-12T09:00:00+01:00'];
    const ran = await own.run(['do', 'keel', 'remark', 'looked again', ...at]);
    expect(ran.out).toContain('record records/');
    const second = JSON.parse(readFileSync(join(own.state, 'records', job, '2/record.json'), 'utf8')) as {
      previous: string;
    };
    const hash = execFileSync('sha256sum', [recordPath(own, 'record.json')], { encoding: 'utf8' }).slice(0, 64);
    expect(second.previous).toBe(hash);
    expect(await verify(own)).toMatchObject({ code: 0, err: '' });
  });
});

describe('the page for reading', () => {
  it('has a signature that ssh-keygen calls Good', () => {
    const args = ['-f', join(original.state, 'allowed_signers'), '-I', 'first', '-n', 'dryfit-record'];
    const said = execFileSync('ssh-keygen', ['-Y', 'verify', ...args, '-s', recordPath(original, 'record.html.sig')], {
      input: readFileSync(recordPath(original, 'record.html')),
      encoding: 'utf8',
    });
    expect(said).toMatch(/^Good /);
  });

  it('is found out where it was changed, in the state and by itself', async () => {
    const own = copy();
    change(recordPath(own, 'record.html'), (text) => text.replace('outside', 'within'));
    await wrong(own, /record\.html\.sig: the signature is not good/);
    const alone = await verify(own, join(own.state, 'records', job, '1'));
    expect(alone.err).toMatch(/wrong: record\.html\.sig: the signature is not good/);
    expect(alone.code).toBe(1);
  });

  it('is found out where the page or its signature is missing', async () => {
    for (const name of ['record.html', 'record.html.sig']) {
      const own = copy();
      rmSync(recordPath(own, name));
      await wrong(own, /record\.html/);
      expect((await verify(own, join(own.state, 'records', job, '1'))).code).toBe(1);
    }
  });
});

describe('a record by itself', () => {
  const carried = (): Machine => {
    const own = machine();
    cpSync(join(original.state, 'records', job, '1'), join(own.folder, 'handed'), { recursive: true });
    cpSync(join(original.state, 'allowed_signers'), join(own.folder, 'allowed_signers'));
    return own;
  };

  it('is verified from its folder or its file, with the allowed_signers beside or above it', async () => {
    const own = carried();
    for (const path of ['handed', 'handed/record.json'])
      expect(await own.run(['verify', path])).toMatchObject({ code: 0, err: '' });
  });

  it('needs allowed_signers, or the file named with --signers', async () => {
    const own = carried();
    rmSync(join(own.folder, 'allowed_signers'));
    expect(await own.run(['verify', 'handed'])).toMatchObject({
      code: 2,
      err: expect.stringContaining('--signers FILE') as string,
    });
    const pinned = join(original.state, 'allowed_signers');
    expect((await own.run(['verify', 'handed', '--signers', pinned])).code).toBe(0);
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', join(own.folder, 'k')]);
    own.file('others', `first ${own.read('k.pub')}`);
    expect((await own.run(['verify', 'handed', '--signers', 'others'])).code).toBe(1);
  });

  it('is printed as data with --json, and says that it is scripted', async () => {
    const own = carried();
    const result = (await own.run(['verify', 'handed', '--json'])).json() as {
      good: boolean;
      observations: { what: string }[];
    };
    expect(result.good).toBe(true);
    expect(result.observations.some(({ what }) => what.startsWith('scripted'))).toBe(true);
  });

  it('is reported with any byte of record.json changed', async () => {
    const bytes = readFileSync(join(original.state, 'records', job, '1/record.json'));
    for (let at = 0; at < bytes.length; at += Math.ceil(bytes.length / 25)) {
      const own = carried();
      const changed = Buffer.from(bytes);
      changed[at] = (changed[at] ?? 0) ^ 2;
      writeFileSync(join(own.folder, 'handed/record.json'), changed);
      const ran = await own.run(['verify', 'handed']);
      expect(ran.code).toBe(1);
      expect(ran.err).toContain('record.json');
    }
  });
});
