import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { fixture, machine, type Machine, type RunOptions } from '../support/command.ts';

let own: Machine;
const at = (...argv: readonly string[]) =>
  own.run([...argv, '--state', own.state, '--procedures', fixture('procedures')]);
const typed = (options: RunOptions, ...argv: readonly string[]) =>
  own.run([...argv, '--state', own.state, '--procedures', fixture('procedures')], options);

beforeEach(async () => {
  own = machine();
  expect(await at('person', 'add', 'ines', '--name', 'Ines Varrow')).toMatchObject({ code: 0, err: '' });
  expect(await at('start', 'small-plate', '--each', 'left')).toMatchObject({ code: 0, err: '' });
});

describe('one entry', () => {
  it('is saved on the disk, and printed with its verdict', async () => {
    const ran = await at('do', 'small-plate', 'read', 'width', 'value=12.6mm');
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(ran.out).toContain('ines read width value=12.6mm');
    expect(ran.out).toContain(': within');
    expect(own.journal().at(-1)).toMatchObject({
      type: 'read',
      by: 'ines',
      data: { reading: 'width', value: '12.6mm' },
    });
  });

  it('may be calculated, with its calculation and the value that this gives', async () => {
    const sum = ['calculated.calculation=sum', 'calculated.with.value1=12 mm', 'calculated.with.value2=0.55 mm'];
    const ran = await at('do', 'small-plate', 'read', 'width', 'value=12.55 mm', ...sum);
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(own.journal().at(-1)).toMatchObject({
      data: { value: '12.55 mm', calculated: { calculation: 'sum', with: { value1: '12 mm', value2: '0.55 mm' } } },
    });
    const other = await at('do', 'small-plate', 'read', 'width', 'value=12.5 mm', 'reason=x', ...sum);
    expect(other).toMatchObject({ code: 2, out: '' });
    expect(other.err).toContain('sum gives 12.55 mm, not 12.5 mm');
    expect(await at('verify', own.state)).toMatchObject({ code: 0 });
  });

  it('is data with --json', async () => {
    const ran = await at('do', 'small-plate', 'read', 'width', 'value=12,61', '--json');
    expect(ran.json()).toMatchObject({ type: 'read', by: 'ines', verdict: 'outside', data: { value: '12,61' } });
  });

  it('may have happened earlier, and both times are recorded', async () => {
    const when = '2026-03-01T20:00:00+01:00';
    expect((await at('do', 'small-plate', 'remark', 'cut yesterday', '--when', when)).code).toBe(0);
    expect(own.journal().at(-1)).toMatchObject({ when, data: { text: 'cut yesterday' } });
    expect(await at('do', 'small-plate', 'remark', 'x', '--when', '2099-01-01T00:00:00Z')).toMatchObject({ code: 3 });
  });

  it('belongs to the whole build where its verb does', async () => {
    expect(await at('do', '-', 'temperature', '-5 °C', 'lowest=-6 °C')).toMatchObject({ code: 0, err: '' });
    expect(await at('do', 'small-plate', 'temperature', '19°C')).toMatchObject({ code: 0, err: '' });
    expect(own.journal().slice(-2)).toMatchObject([{ job: '' }, { job: '' }]);
  });

  it('has the time of --now', async () => {
    await at('do', 'small-plate', 'remark', 'x', '--now', '2026-04-01T10:00:00+02:00');
    expect(own.journal().at(-1)).toMatchObject({ at: '2026-04-01T10:00:00+02:00' });
  });
});

describe('refused by a rule: exit 3, the code on stderr, nothing written', () => {
  it.each([
    [['finish', 'measure'], 'part-missing'],
    [['finish', 'fix'], 'out-of-order'],
    [['release', 'inspect'], 'out-of-order'],
    [['complete'], 'unfinished'],
  ])('%j by %s', async (words, code) => {
    const before = own.journal().length;
    const ran = await at('do', 'small-plate', ...words);
    expect(ran.err).toContain(`refused ${code}: `);
    expect(ran).toMatchObject({ code: 3, out: '' });
    expect(own.journal().length).toBe(before);
  });

  it('refuses a second try without a reason', async () => {
    await at('do', 'small-plate', 'read', 'width', 'value=13 mm');
    expect(await at('do', 'small-plate', 'read', 'width', 'value=12.5 mm')).toMatchObject({
      code: 3,
      err: expect.stringContaining('refused reason-missing') as string,
    });
    expect((await at('do', 'small-plate', 'read', 'width', 'value=12.5 mm', 'reason=burr taken off')).code).toBe(0);
  });

  it('prints the fault as data too with --json', async () => {
    const ran = await at('do', 'small-plate', 'finish', 'measure', '--json');
    expect(ran.json()).toMatchObject({ fault: { kind: 'refused', code: 'part-missing' } });
  });
});

describe('called wrongly: exit 2, one line that says what to do', () => {
  it.each([
    [['do'], 'word-missing'],
    [['do', 'small-plate'], 'word-missing'],
    [['do', 'small-plate', 'raed', 'width'], 'did you mean read?'],
    [['do', 'no-job', 'read', 'width', 'value=1mm'], 'job-unknown'],
    [['do', 'small-plate', 'read', 'widht', 'value=12.5mm'], "did you mean 'width'?"],
    [['do', 'small-plate', 'read', 'width'], 'field-missing'],
    [['do', 'small-plate', 'read', 'width', 'value=twelve'], 'quantity'],
    [['do', 'small-plate', 'read', 'width', 'value=12.5 kg'], 'unit'],
    [['do', 'small-plate', 'read', 'width', 'vlaue=12.5mm'], 'did you mean value=?'],
    [['do', 'small-plate', 'finish', 'mesure'], "did you mean 'measure'?"],
    [['do', 'small-plate', 'remark', 'x', '--as', 'nobody'], 'nobody'],
    [['do', 'small-plate', 'remark', 'x', '--when', 'yesterday'], 'instant-unreadable'],
    [['do', 'small-plate', 'remark', 'x', '--now', 'noon'], 'now-unreadable'],
    [['do', 'small-plate', 'remark', 'x', '--wehn', 'noon'], 'Did you mean --when?'],
    [['do', 'small-plate', 'remark', '--as'], 'value-missing'],
    [['do', 'small-plate', 'photo', 'dry', 'file=no-such.jpg'], 'no-such.jpg'],
    [['start', 'small-plat'], 'did you mean small-plate?'],
    [['start', 'small-plate'], 'left, right'],
    [['start', 'small-plate', '--each', 'middle'], 'middle'],
    [['start'], 'word-missing'],
    [['start', '../small-plate'], 'unknown-id'],
    [['record', 'no-job'], 'job-unknown'],
    [['record', 'small-plate', '--format', 'pdf'], 'format-unknown'],
    [['statsu'], 'Did you mean dryfit status?'],
    [['verify', 'no-such-path'], 'path-unknown'],
    [['hold', 'small-plate'], 'word-missing'],
    [['hold', 'small-plate', '--for', 'release'], 'step-missing'],
    [['key', 'forge'], 'word-extra'],
    [['person', 'remove', 'ines'], 'word-extra'],
    [['person', 'add', 'Ines V'], 'person-id'],
    [['rehearse'], 'file-missing'],
    [['check'], 'file-missing'],
    [['check', 'no-such.yaml'], 'path-unknown'],
    [['check', '--about', 'unit-mising'], 'did you mean unit-missing?'],
    [['status', '--state'], 'value-missing'],
    [['status', '--json=yes'], 'value-unwanted'],
  ])('%j', async (argv, message) => {
    const before = own.journal().length;
    const ran = await own.run([
      ...argv,
      ...(argv.includes('--state') ? [] : ['--state', own.state]),
      '--procedures',
      fixture('procedures'),
    ]);
    expect(ran.err).toContain(message);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
    expect(ran.err).not.toMatch(/\n\s+at /);
    expect(ran.code).toBe(2);
    expect(own.journal().length).toBe(before);
  });

  it('prints no control character of an argument', async () => {
    const ran = await at('do', 'small-plate', 'finish', 'a\u001b[2Jb\u202e');
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('\\u{1b}[2J');
    expect(ran.err).not.toMatch(/[\u001b\u202e]/);
  });
});

describe('people and keys', () => {
  it("a second person's passphrase is asked for at each act; a wrong one is refused and nothing is written", async () => {
    expect(await typed({ stdin: 'a long secret\n' }, 'person', 'add', 'tobias', '--power', 'inspector')).toMatchObject({
      code: 0,
      err: '',
    });
    const before = own.journal().length;
    expect(await typed({ stdin: 'wrong\n' }, 'do', 'small-plate', 'remark', 'x', '--as', 'tobias')).toMatchObject({
      code: 2,
      err: expect.stringContaining('passphrase') as string,
    });
    expect(await typed({}, 'do', 'small-plate', 'remark', 'x', '--as', 'tobias')).toMatchObject({ code: 2 });
    expect(own.journal().length).toBe(before);
    expect(
      await typed({ stdin: 'a long secret\n' }, 'do', 'small-plate', 'remark', 'x', '--as', 'tobias'),
    ).toMatchObject({ code: 0 });
    expect(own.journal().at(-1)).toMatchObject({ by: 'tobias' });
    expect((await at('verify')).code).toBe(0);
  });

  it('the first person introduces themself; a later one is signed for by an introducer', async () => {
    await typed({ stdin: 'secret\n' }, 'person', 'add', 'tobias', '--power', 'inspector');
    const keys = own.journal().filter(({ type }) => type === 'key');
    expect(keys[0]).toMatchObject({ seq: 1, by: 'ines', build: '', prev: '' });
    expect(keys[0]).not.toHaveProperty('also');
    expect(keys[1]).toMatchObject({ by: 'tobias', also: [{ by: 'ines' }], data: { powers: ['inspector'] } });
    expect((await at('person', '--json')).json()).toMatchObject({
      people: [
        { person: 'ines', powers: ['builder'] },
        { person: 'tobias', powers: ['inspector'], owed: [] },
      ],
    });
  });

  it('helpers are listed, without a key', async () => {
    expect(await at('person', 'add', 'marit', '--power', 'helper')).toMatchObject({ code: 0, err: '' });
    expect((await at('person', '--json')).json()).toMatchObject({
      people: [{}, { person: 'marit', powers: ['helper'], keys: [] }],
    });
  });

  it('a power written into build.yaml by hand is in force once the person has signed for it', async () => {
    const draft = own.read('state/build.yaml').replace('- builder', '- builder\n      - inspector');
    own.file('state/build.yaml', draft);
    expect(await at('do', 'small-plate', 'remark', 'x')).toMatchObject({ code: 0, err: '' });
    expect(own.journal().slice(-2)).toMatchObject([{ type: 'build', by: 'ines' }, { type: 'remark' }]);
    expect((await at('person', '--json')).json()).toMatchObject({ people: [{ powers: ['builder', 'inspector'] }] });
  });

  it('a draft that cannot be read is reported and left as it is; entries are still written', async () => {
    own.file('state/build.yaml', 'people: [{ person: ines, powers: [pilot] }]\n');
    const ran = await at('do', 'small-plate', 'remark', 'x');
    expect(ran.code).toBe(0);
    expect(ran.err).toMatch(/^note: build\.yaml:1:\d+: .*pilot.*; the build in force stays/);
    expect(own.journal().at(-1)).toMatchObject({ type: 'remark' });
  });

  it('keeps the comments of a build.yaml to which a person is added', async () => {
    own.file('state/build.yaml', `${own.read('state/build.yaml')}# mine\n`);
    await at('person', 'add', 'marit', '--power', 'helper');
    expect(own.read('state/build.yaml')).toContain('# mine');
  });

  it('a person has the same key in every build', async () => {
    const key = own.read('home/.config/dryfit/keys/ines.key');
    const other = `${own.state}-2`;
    expect(await own.run(['person', 'add', 'ines', '--state', other])).toMatchObject({ code: 0, err: '' });
    expect(own.read('home/.config/dryfit/keys/ines.key')).toBe(key);
    expect((await at('do', 'small-plate', 'remark', 'still here')).code).toBe(0);
  });

  it('a lost key is replaced, and signs no more', async () => {
    expect(await at('key', 'replace', 'ines')).toMatchObject({ code: 0, err: '' });
    expect(await at('do', 'small-plate', 'remark', 'with the new key')).toMatchObject({ code: 0, err: '' });
    const keys = ((await at('key', '--json')).json() as { keys: { ended?: string }[] }).keys;
    expect(keys).toHaveLength(2);
    expect(keys[0]).toHaveProperty('ended');
    expect((await at('verify')).code).toBe(0);
  });
});

describe('where files are', () => {
  it('settings name state, person and procedures; the environment overrides them, and an option overrides both', async () => {
    mkdirSync(join(own.folder, 'home/.config/dryfit'), { recursive: true });
    const settings = { state: own.state, person: 'ines', procedures: fixture('procedures') };
    own.file('home/.config/dryfit/settings.json', JSON.stringify(settings));
    expect((await own.run(['status', '--json'])).json()).toMatchObject({ jobs: [{ procedure: 'small-plate' }] });
    expect((await own.run(['start', 'small-plate', '--each', 'right'])).code).toBe(0);
    const elsewhere = { variables: { DRYFIT_STATE: join(own.folder, 'other') } };
    expect((await own.run(['status', '--json'], elsewhere)).json()).toMatchObject({ jobs: [] });
    const named = await own.run(['status', '--json', '--state', own.state], elsewhere);
    expect(named.json()).toMatchObject({ jobs: [{}, {}] });
    own.file('home/.config/dryfit/settings.json', '{');
    expect(await own.run(['status'])).toMatchObject({
      code: 2,
      err: expect.stringContaining('settings-malformed') as string,
    });
  });

  it('a key from elsewhere signs with --key FILE, for its own person alone', async () => {
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-C', 'x', '-f', join(own.folder, 'stick')]);
    const added = await at('person', 'add', 'tobias', '--power', 'inspector', '--key', 'stick');
    expect(added).toMatchObject({ code: 0, err: '' });
    expect(readdirSync(join(own.folder, 'home/.config/dryfit/keys'))).toEqual(['ines.key']);
    expect((await at('do', 'small-plate', 'remark', 'x', '--as', 'tobias')).err).toContain('--key FILE');
    const signed = await at('do', 'small-plate', 'remark', 'x', '--as', 'tobias', '--key', 'stick');
    expect(signed).toMatchObject({ code: 0, err: '' });
    expect(own.journal().at(-1)).toMatchObject({ by: 'tobias' });
  });

  it('start names the procedures that it could not read, and starts none with errors', async () => {
    mkdirSync(join(own.folder, 'some'));
    own.file('some/small-plate.yaml', readFileSync(fixture('procedures/small-plate.yaml')));
    own.file('some/broken.yaml', 'a: [\n');
    const from = ['--state', own.state, '--procedures', 'some'];
    const ran = await own.run(['start', 'small-plate', '--each', 'right', ...from]);
    expect(ran.code).toBe(0);
    expect(ran.err).toMatch(/note: passed over: .*broken\.yaml:\d+:\d+: error not-yaml/);
    const faulty = await own.run(['start', 'broken', ...from]);
    expect(faulty.err).toContain('refused procedure-faulty');
    expect(faulty.code).toBe(3);
  });
});

describe("a job's record before it is complete", () => {
  it('is what was entered so far, as text, HTML or data', async () => {
    await at('do', 'small-plate', 'read', 'width', 'value=12.6 mm');
    const text = await at('record', 'small-plate');
    expect(text.out).toContain('12.6 mm');
    expect(text.err).toContain('no signed record yet');
    expect((await at('record', 'small-plate', '--format', 'html')).out).toMatch(/^<!doctype html>/i);
    expect((await at('record', 'small-plate', '--json')).json()).toMatchObject({ record: 'dryfit', v: 1 });
  });
});

describe('help', () => {
  it('exists for every command, and lists every command', async () => {
    const overview = (await own.run(['--help'])).out;
    for (const name of ['start', 'do', 'status', 'check', 'record', 'verify', 'hold', 'person', 'key', 'rehearse']) {
      expect(overview).toContain(`  ${name}`);
      const help = await own.run([name, '--help']);
      expect(help).toMatchObject({ code: 0, err: '' });
      expect(help.out).toContain(`dryfit ${name}`);
      expect((await own.run(['help', name])).out).toBe(help.out);
    }
  });
});
