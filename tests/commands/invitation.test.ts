import { execFileSync } from 'node:child_process';
import { copyFileSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { fixture, machine, type Machine } from '../support/command.ts';

/* A person who is elsewhere and has no dryfit comes into the build: a file, signed with the real ssh-keygen, never their private key. */

let own: Machine;
/** Where the other person sits: their private key never leaves it. */
let away: Machine;
const at = (...argv: readonly string[]) => own.run([...argv, '--state', own.state]);
const says = (text: string) => expect.stringContaining(text) as string;
const good = { code: 0, err: '' };

const newKey = (name: string): string => {
  execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', name], { cwd: away.folder });
  copyFileSync(join(away.folder, `${name}.pub`), join(own.folder, `${name}.pub`));
  return `${name}.pub`;
};
/** Carries a file over, signs it there, and brings it back. */
const sign = (file: string, key: string, namespace: string): void => {
  copyFileSync(join(own.folder, file), join(away.folder, file));
  rmSync(join(away.folder, `${file}.sig`), { force: true });
  execFileSync('ssh-keygen', ['-Y', 'sign', '-n', namespace, '-f', key, file], { cwd: away.folder, stdio: 'pipe' });
  copyFileSync(join(away.folder, `${file}.sig`), join(own.folder, `${file}.sig`));
};
const invite = async (person: string, ...more: readonly string[]): Promise<void> => {
  const made = await at('person', 'invite', person, ...more);
  expect(made).toMatchObject({ code: 0, err: says('ssh-keygen -Y sign -n dryfit-entry') });
  own.file('invitation.json', made.out);
};
const take = (...more: readonly string[]) =>
  at('person', 'add', '--signed', 'invitation.json', '--as', 'ines', ...more);
const comes = async (person: string, ...more: readonly string[]): Promise<void> => {
  await invite(person, '--key', newKey(person), ...more);
  sign('invitation.json', person, 'dryfit-entry');
  expect(await take()).toMatchObject(good);
};

beforeEach(async () => {
  own = machine();
  away = machine();
  expect(await at('person', 'add', 'ines')).toMatchObject(good);
});

describe('a person elsewhere', () => {
  it('joins the build and releases a hold by files alone', async () => {
    await comes('tobias', '--power', 'inspector', '--name', 'Tobias Hesk');
    expect((await at('person')).out).toContain('tobias  Tobias Hesk  inspector  SHA256:');
    own.file('dry.jpg', 'a picture');
    await at('start', 'small-plate', '--each', 'left', '--procedures', fixture('procedures'));
    for (const words of [
      'read width value=12.5 mm',
      'finish measure',
      'photo dry file=dry.jpg',
      'finish dry-fit',
      'finish fix',
    ]) {
      const [verb = '', object = '', ...rest] = words.split(' ');
      const value = rest.length > 0 ? [rest.join(' ')] : [];
      expect(await at('do', 'small-plate', verb, object, ...value), words).toMatchObject({ code: 0 });
    }
    own.file('answer.json', (await at('hold', 'small-plate', '--for', 'release')).out);
    sign('answer.json', 'tobias', 'dryfit-hold');
    expect(await at('hold', 'small-plate', '--answer', 'answer.json')).toMatchObject(good);
    expect(await at('do', 'small-plate', 'finish', 'inspect')).toMatchObject({ code: 0 });
    expect(await at('do', 'small-plate', 'complete')).toMatchObject({ code: 0 });
    expect(await at('verify')).toMatchObject(good);
    expect(readFileSync(join(own.state, 'allowed_signers'), 'utf8')).toContain('tobias namespaces=');
  });

  it('gets a new key when another inspector vouches for them, not when a builder does', async () => {
    await comes('tobias', '--power', 'inspector');
    await comes('vera', '--power', 'inspector');
    await invite('tobias', '--key', newKey('tobias-2'));
    sign('invitation.json', 'tobias-2', 'dryfit-entry');
    expect(await take()).toMatchObject({ code: 3, err: says('neither their old one nor another inspector') });
    const vera = ['person', 'add', '--signed', 'invitation.json', '--as', 'vera', '--key', join(away.folder, 'vera')];
    expect(await at(...vera)).toMatchObject(good);
    expect(await at(...vera)).toMatchObject({ code: 3 });
    expect(await at('verify')).toMatchObject(good);
  });
});

describe('an invitation that does not fit is refused by name, and nothing is written', () => {
  const refused = async (name: string, code = 3): Promise<void> => {
    const before = own.journal().length;
    expect(await take()).toMatchObject({ code, err: says(`${name}: `) });
    expect(own.journal().length).toBe(before);
  };
  const edit = (from: string | RegExp, to: string): void => {
    const before = own.read('invitation.json');
    own.file('invitation.json', before.replace(from, to));
    expect(own.read('invitation.json')).not.toBe(before);
  };
  beforeEach(() => invite('tobias', '--key', newKey('tobias'), '--power', 'witness'));

  it('unsigned', () => refused('invitation-unsigned'));

  it('signed for another purpose', async () => {
    sign('invitation.json', 'tobias', 'dryfit-hold');
    await refused('invitation-namespace');
  });

  it('signed with another key', async () => {
    newKey('other');
    sign('invitation.json', 'other', 'dryfit-entry');
    await refused('invitation-key');
  });

  it('changed after it was signed', async () => {
    sign('invitation.json', 'tobias', 'dryfit-entry');
    edit('"witness"', '"inspector"');
    await refused('invitation-signature');
  });

  it('for another build', async () => {
    edit(/"build":"[0-9a-f]{64}"/, `"build":"${'0'.repeat(64)}"`);
    sign('invitation.json', 'tobias', 'dryfit-entry');
    await refused('invitation-build');
  });

  it('that is not an invitation', async () => {
    for (const text of ['{}', '[]', 'no', '{"v":1}', own.read('invitation.json').replace('"v":1', '"v":2')]) {
      own.file('invitation.json', text);
      own.file('invitation.json.sig', 'x');
      await refused('invitation-unreadable', 2);
    }
  });

  it('a second time', async () => {
    sign('invitation.json', 'tobias', 'dryfit-entry');
    expect(await take()).toMatchObject(good);
    await refused('power');
  });

  it('and a private key is not accepted in its place', async () => {
    const made = await at('person', 'invite', 'marit', '--key', join(away.folder, 'tobias'), '--power', 'witness');
    expect(made).toMatchObject({ code: 2, err: says('sends their .pub file alone') });
    expect((await at('person', 'invite', 'marit', '--key', 'tobias.pub')).code).toBe(2);
    expect((await at('person', 'invite', 'marit', '--key', 'tobias.pub', '--power', 'helper')).code).toBe(2);
    expect((await at('person', 'invite')).code).toBe(2);
  });
});
