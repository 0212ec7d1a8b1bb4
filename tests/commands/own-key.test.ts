import { execFileSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startAgent, type Agent } from '../support/agent.ts';
import { machine, type Machine, type RunOptions } from '../support/command.ts';

/* A person's own OpenSSH key: in a file of theirs, with a passphrase or without, or in their agent. */

let own: Machine;
let agent: Agent;
const at = (argv: readonly string[], options: RunOptions = {}) => own.run([...argv, '--state', own.state], options);
const inAgent = (...argv: readonly string[]) => at(argv, { variables: agent.variables as Record<string, string> });

const newKey = (name: string, passphrase = '', rounds = 4): string => {
  const path = join(own.folder, name);
  const args = ['-q', '-t', 'ed25519', '-a', String(rounds), '-N', passphrase, '-f', path];
  execFileSync('ssh-keygen', args, { stdio: 'pipe' });
  return path;
};
const publicPart = (path: string): string => readFileSync(`${path}.pub`, 'utf8').split(' ').slice(0, 2).join(' ');
const temperature = ['do', '-', 'temperature', '19 °C'];
const kept = (person: string): string => own.read(join('home', '.config', 'dryfit', 'keys', `${person}.key`));

beforeAll(async () => {
  agent = await startAgent();
});
afterAll(() => agent.stop());
beforeEach(() => {
  own = machine();
});

describe("a person's own key file", () => {
  it('is remembered, not copied: later entries are signed with it, and verify', async () => {
    const path = newKey('id_ed25519');
    expect(await at(['person', 'add', 'ines', '--key', path])).toMatchObject({ code: 0, err: '' });
    expect(kept('ines')).not.toContain('PRIVATE KEY');
    expect((await at(['key'])).out).toContain(`in ${path}`);
    expect(await at(temperature)).toMatchObject({ code: 0, err: '' });
    expect(await at(['verify'])).toMatchObject({ code: 0, err: '' });
    expect(own.read('state/allowed_signers')).toContain(publicPart(path));
    rmSync(path);
    expect(await at(temperature)).toMatchObject({ code: 2, err: expect.stringContaining('key-missing') as string });
  });

  it('with a passphrase is unlocked by that alone', async () => {
    const path = newKey('id_ed25519', 'keel and strut');
    expect(await at(['person', 'add', 'ines', '--key', path], { stdin: 'wrong\n' })).toMatchObject({
      code: 2,
      err: expect.stringContaining('passphrase: the passphrase does not open this key') as string,
    });
    expect(await at(['person', 'add', 'ines', '--key', path], { stdin: 'keel and strut\n' })).toMatchObject({
      code: 0,
    });
    const entries = own.journal().length;
    expect((await at(temperature, { stdin: 'wrong\n' })).code).toBe(2);
    expect((await at(temperature)).code).toBe(2);
    expect(own.journal().length).toBe(entries);
    expect(await at(temperature, { stdin: 'keel and strut\n' })).toMatchObject({ code: 0, err: '' });
    expect(await at(['key', 'passphrase'])).toMatchObject({
      code: 2,
      err: expect.stringContaining('ssh-keygen -p') as string,
    });
    expect(await at(['verify'])).toMatchObject({ code: 0, err: '' });
  });

  it("of another person signs with --key each time, and is not kept on somebody else's machine", async () => {
    await at(['person', 'add', 'ines']);
    const path = newKey('of tobias', 'from elsewhere');
    const typed = { stdin: 'from elsewhere\n' };
    const added = await at(['person', 'add', 'tobias', '--power', 'witness', '--key', path], typed);
    expect(added).toMatchObject({ code: 0, err: '' });
    expect(await at([...temperature, '--as', 'tobias'], typed)).toMatchObject({
      code: 2,
      err: expect.stringContaining('key-missing') as string,
    });
    expect(await at([...temperature, '--as', 'tobias', '--key', path], typed)).toMatchObject({ code: 0, err: '' });
    // an open one would lie there for whoever is at the machine
    const open = newKey('open');
    await at(['person', 'add', 'marit', '--power', 'witness', '--key', open]);
    expect(await at(['key', 'here', '--as', 'marit', '--key', open])).toMatchObject({
      code: 2,
      err: expect.stringContaining('key-other') as string,
    });
    expect(await at(['key', 'here', '--as', 'tobias', '--key', path], typed)).toMatchObject({ code: 0, err: '' });
    expect(await at([...temperature, '--as', 'tobias'], typed)).toMatchObject({ code: 0, err: '' });
    expect((await at([...temperature, '--as', 'tobias'])).code).toBe(2);
  });

  it('that belongs to somebody else, or to nobody here, is not accepted as theirs', async () => {
    await at(['person', 'add', 'ines']);
    const stranger = newKey('stranger');
    expect(await at(['key', 'here', '--key', stranger])).toMatchObject({
      code: 2,
      err: expect.stringContaining('key-unknown') as string,
    });
    expect((await at(['key', 'here', '--key', join(own.folder, 'none')])).code).toBe(2);
    expect((await at(['key', 'here'])).code).toBe(2);
  });

  it('replaces the one that dryfit made', async () => {
    await at(['person', 'add', 'ines']);
    const path = newKey('id_ed25519', 'keel and strut');
    const typed = { stdin: 'keel and strut\n' };
    expect(await at(['key', 'replace', 'ines', '--new', path], typed)).toMatchObject({ code: 0, err: '' });
    expect((await at(temperature)).code).toBe(2);
    expect(await at(temperature, typed)).toMatchObject({ code: 0, err: '' });
    expect(own.journal().at(-1)?.['key']).not.toBe(own.journal()[0]?.['key']);
    expect(await at(['verify'])).toMatchObject({ code: 0, err: '' });
  });
});

describe('a key in the ssh-agent', () => {
  it('is named by its .pub file once, and signs from then on', async () => {
    const path = newKey('id_ed25519', '');
    expect(agent.add(path)).toBe(0);
    rmSync(path);
    expect(await inAgent('person', 'add', 'ines', '--key', `${path}.pub`)).toMatchObject({ code: 0, err: '' });
    expect(kept('ines').trim()).toBe(`${publicPart(path)} in the ssh-agent`);
    expect(await inAgent(...temperature)).toMatchObject({ code: 0, err: '' });
    expect((await inAgent('key')).out).toContain('in the ssh-agent');
    expect(await at(['verify'])).toMatchObject({ code: 0, err: '' });
    expect(own.journal().at(-1)).toMatchObject({ by: 'ines', type: 'temperature' });
  });

  it('that is missing there signs nothing, and the error says what to do', async () => {
    const path = newKey('id_ed25519', '');
    expect(await at(['person', 'add', 'ines', '--key', `${path}.pub`])).toMatchObject({
      code: 2,
      err: expect.stringContaining('agent-missing: no ssh-agent answers') as string,
    });
    expect(await inAgent('person', 'add', 'ines', '--key', `${path}.pub`)).toMatchObject({
      code: 2,
      err: expect.stringContaining('agent-key') as string,
    });
    agent.add(path);
    expect(await inAgent('person', 'add', 'ines', '--key', `${path}.pub`)).toMatchObject({ code: 0, err: '' });
    const entries = own.journal().length;
    expect(await at(temperature)).toMatchObject({ code: 2, err: expect.stringContaining('agent-missing') as string });
    expect(own.journal().length).toBe(entries);
    // the private key file itself is always a way
    expect(await at([...temperature, '--key', path])).toMatchObject({ code: 0, err: '' });
  });

  it("of another person is not kept on somebody else's machine, and signs with --key FILE.pub", async () => {
    await at(['person', 'add', 'ines']);
    const path = newKey('of tobias');
    agent.add(path);
    const pub = `${path}.pub`;
    expect(await inAgent('person', 'add', 'tobias', '--power', 'witness', '--key', pub)).toMatchObject({
      code: 0,
      err: '',
    });
    expect(await inAgent(...temperature, '--as', 'tobias')).toMatchObject({
      code: 2,
      err: expect.stringContaining('key-missing') as string,
    });
    expect(await inAgent('key', 'here', '--as', 'tobias', '--key', pub)).toMatchObject({
      code: 2,
      err: expect.stringContaining('key-other') as string,
    });
    expect(await inAgent(...temperature, '--as', 'tobias', '--key', pub)).toMatchObject({ code: 0, err: '' });
    expect(own.journal().at(-1)).toMatchObject({ by: 'tobias' });
  });
});
