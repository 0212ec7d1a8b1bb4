import { execFileSync } from 'node:child_process';
import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import type { JournalLine } from '../../src/proof/line.ts';
import { readKeyFile } from '../../src/signing/openssh.ts';
import { makeSigner, signLine } from '../../src/signing/signer.ts';
import { fixture, machine, type Machine } from '../support/command.ts';

let own: Machine;
const at = (...argv: readonly string[]) => own.run([...argv, '--state', own.state]);

const session = (sides: readonly string[]): string => `script: up to the hold
build: { people: [{ person: first, powers: [builder] }, { person: second, powers: [inspector] }, { person: third, powers: [builder, inspector] }] }
procedures: ${fixture('procedures')}
entries:
${sides
  .map(
    (side) => `  - { at: 2026-03-02T09:00:00+01:00, as: first, start: small-plate, each: ${side} }
  - { read: width, value: 12.5 mm }
  - { finish: measure }
  - { photo: dry, file: dry.jpg }
  - { finish: dry-fit }
  - { finish: fix }
`,
  )
  .join('')}`;

/** Signs as somebody would who has no dryfit: with ssh-keygen and a private key. */
const sign = (file: string, person: string, namespace = 'dryfit-hold'): void => {
  const key = join(own.folder, `${person}.key`);
  copyFileSync(join(own.state, 'scripted-keys', `${person}.key`), key);
  execFileSync('rm', ['-f', `${join(own.folder, file)}.sig`]);
  execFileSync('ssh-keygen', ['-Y', 'sign', '-n', namespace, '-f', key, file], { cwd: own.folder, stdio: 'pipe' });
};

const makeAnswer = async (...argv: readonly string[]): Promise<void> => {
  const made = await at('hold', 'small-plate-left', '--as', 'second', ...argv);
  expect(made.code).toBe(0);
  own.file('answer.json', made.out);
};
const takeIn = (job = 'small-plate-left', ...more: readonly string[]) =>
  at('hold', job, '--answer', 'answer.json', '--as', 'first', ...more);
/** Changes what the answer says, by hand; the text stays canonical. */
const edit = (from: string | RegExp, to: string): void => {
  const before = own.read('answer.json');
  own.file('answer.json', before.replace(from, to));
  expect(own.read('answer.json')).not.toBe(before);
};

beforeEach(async () => {
  own = machine();
  own.file('dry.jpg', 'a picture');
  own.file('s.yaml', session(['left', 'right']));
  expect(await at('rehearse', 's.yaml')).toMatchObject({ code: 0, err: '' });
});

describe('a hold answered in a file', () => {
  it('keeps the signature as ssh-keygen wrote it, and refuses one in which anything else was changed', async () => {
    await makeAnswer('--for', 'release', '--remark', 'sits flat');
    sign('answer.json', 'second');
    const written = own.read('answer.json.sig');
    own.file('answer.json.sig', written.replace(/(.{30})(.{40})\n/, '$1\n$2\n'));
    const refused = await takeIn();
    expect(refused).toMatchObject({ code: 3 });
    expect(refused.err).toContain('answer.json.sig is not as ssh-keygen wrote it');
    own.file('answer.json.sig', written.replaceAll('\n', '\r\n'));
    expect(await takeIn()).toMatchObject({ code: 0 });
    expect(own.journal().at(-1)).toMatchObject({ data: { 'answer-sig': written } });
  });

  it('is released by an answer that was signed with ssh-keygen', async () => {
    await makeAnswer('--for', 'release', '--remark', 'sits flat');
    sign('answer.json', 'second');
    const out = expect.stringContaining('first release inspect remark=sits flat (signed by second)') as string;
    expect(await takeIn()).toMatchObject({ code: 0, err: '', out });
    expect(own.journal().at(-1)).toMatchObject({
      type: 'release',
      by: 'first',
      data: { person: 'second', remark: 'sits flat' },
    });
    expect(await at('do', 'small-plate-left', 'finish', 'inspect', '--as', 'first')).toMatchObject({ code: 0 });
    expect(await at('do', 'small-plate-left', 'complete', '--as', 'first')).toMatchObject({ code: 0 });
    expect(await at('verify')).toMatchObject({ code: 0, err: '' });
  });

  it('is refused with findings in the same way', async () => {
    await makeAnswer('--for', 'refuse', '--finding', 'a burr', '--finding', 'no mark');
    sign('answer.json', 'second');
    expect(await takeIn()).toMatchObject({ code: 0, err: '' });
    expect(own.journal().at(-1)).toMatchObject({
      type: 'refuse',
      data: { findings: ['a burr', 'no mark'], numbers: [1, 2] },
    });
  });

  it('is not voided by a temperature that somebody logs meanwhile', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    await at('do', '-', 'temperature', '19 °C', '--as', 'first');
    expect(await takeIn()).toMatchObject({ code: 0, err: '' });
  });
});

describe('an answer that fits', () => {
  it('is taken in by whoever carries it, who may name the hold', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    expect(await takeIn('small-plate-left', '--step', 'inspect')).toMatchObject({ code: 0, err: '' });
    expect(await at('verify')).toMatchObject({ code: 0, err: '' });
  });

  it('may be signed with a key that replaced a lost one', async () => {
    expect(await at('key', 'replace', 'second', '--as', 'second')).toMatchObject({ code: 0, err: '' });
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    expect(await takeIn()).toMatchObject({ code: 0, err: '' });
    expect(await at('verify')).toMatchObject({ code: 0, err: '' });
  });
});

describe('an answer that does not fit is refused by name: exit 3, nothing written', () => {
  const refused = async (name: string, job?: string, ...more: readonly string[]): Promise<void> => {
    const before = own.journal().length;
    const ran = await takeIn(job, ...more);
    expect(ran.err).toContain(`refused ${name}: `);
    expect(ran.code).toBe(3);
    expect(own.journal().length).toBe(before);
  };

  it('when it was taken in before', async () => {
    await makeAnswer('--for', 'refuse', '--finding', 'a burr');
    sign('answer.json', 'second');
    expect((await takeIn()).code).toBe(0);
    await refused('answer-replayed');
  });

  it('for another job', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    await refused('answer-job', 'small-plate-right');
  });

  it('for work that has changed since', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    await at('do', 'small-plate-left', 'correct', 'width', 'value=12.4 mm', 'reason=misread', '--as', 'first');
    await refused('answer-head');
  });

  it('for work that was undone and done again', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    await at('do', 'small-plate-left', 'undo', 'fix', 'because=looked loose', '--as', 'first');
    await at('do', 'small-plate-left', 'finish', 'fix', '--as', 'first');
    await refused('answer-head');
  });

  it('when it was taken in before, also after its release was voided', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    expect((await takeIn()).code).toBe(0);
    await at('do', 'small-plate-left', 'correct', 'width', 'value=12.4 mm', 'reason=misread', '--as', 'first');
    await refused('answer-replayed');
  });

  it('for another step than the one named, or for a step that is not a hold', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    await refused('answer-step', 'small-plate-left', '--step', 'fix');
    edit('"step": "inspect"', '"step": "fix"');
    sign('answer.json', 'second');
    await refused('answer-step');
  });

  it('for another build', async () => {
    await makeAnswer('--for', 'release');
    edit(/"build": "[0-9a-f]{64}"/, `"build": "${'0'.repeat(64)}"`);
    sign('answer.json', 'second');
    await refused('answer-build');
  });

  it('about other work than what is inspected', async () => {
    await makeAnswer('--for', 'release');
    edit(/"digest": "[0-9a-f]{64}"/, `"digest": "${'0'.repeat(64)}"`);
    sign('answer.json', 'second');
    await refused('answer-digest');
  });

  it('by a key that has ended', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    expect(await at('key', 'replace', 'second', '--as', 'second')).toMatchObject({ code: 0, err: '' });
    await refused('answer-key-ended');
  });

  it('without a signature beside it', async () => {
    await makeAnswer('--for', 'release');
    await refused('answer-unsigned');
    own.file('answer.json.sig', 'Good, says tobias\n');
    await refused('answer-signature');
  });

  it('in another namespace', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second', 'dryfit-record');
    await refused('answer-namespace');
  });

  it('by a key that the build does not know', async () => {
    await makeAnswer('--for', 'release');
    execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-f', join(own.folder, 'stranger')]);
    execFileSync('ssh-keygen', ['-Y', 'sign', '-n', 'dryfit-hold', '-f', 'stranger', 'answer.json'], {
      cwd: own.folder,
      stdio: 'pipe',
    });
    await refused('answer-key');
  });

  it('by another person than it names', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'third');
    await refused('answer-key');
  });

  it('changed after it was signed', async () => {
    await makeAnswer('--for', 'release', '--remark', 'sits flat');
    sign('answer.json', 'second');
    edit('sits flat', 'sits badly');
    await refused('answer-signature');
  });

  it('changed from a refusal into a release', async () => {
    await makeAnswer('--for', 'refuse', '--finding', 'a burr');
    sign('answer.json', 'second');
    edit('"answer": "refuse"', '"answer": "release"');
    await refused('answer-signature');
  });

  it('by somebody without the power', async () => {
    const made = await at('hold', 'small-plate-left', '--as', 'first', '--for', 'release');
    own.file('answer.json', made.out);
    sign('answer.json', 'first');
    await refused('power');
  });

  it('and a file that is not an answer is called wrongly', async () => {
    own.file('answer.json', '{"v":1}\n');
    own.file('answer.json.sig', 'x');
    expect(await takeIn()).toMatchObject({ code: 2, err: expect.stringContaining('answer-unreadable') as string });
    expect(await at('hold', 'small-plate-left', '--answer', 'none.json', '--as', 'first')).toMatchObject({ code: 2 });
  });
});

describe('rule 3: nobody releases what they did themselves', () => {
  it('an inspector who performed it is refused', async () => {
    await at('do', 'small-plate-left', 'undo', 'fix', 'because=looked loose', '--as', 'third');
    await at('do', 'small-plate-left', 'finish', 'fix', '--as', 'third');
    const ran = await at('do', 'small-plate-left', 'release', 'inspect', '--as', 'third');
    expect(ran.err).toContain('refused own-work');
    expect(ran.code).toBe(3);
  });

  it('a builder without the power is refused', async () => {
    expect(await at('do', 'small-plate-left', 'release', 'inspect', '--as', 'first')).toMatchObject({
      code: 3,
      err: expect.stringContaining('refused power') as string,
    });
  });
});

/** The last line of the journal with other data, well signed by whoever wrote it: what a builder could do with a program of their own. */
const forgeLast = (change: (data: JournalLine['data']) => JournalLine['data']): void => {
  const line = own.journal().at(-1) as unknown as JournalLine;
  const key = readKeyFile(readFileSync(join(own.state, 'scripted-keys', `${line.by}.key`), 'utf8'));
  if (!key.ok || !('secret' in key.value)) throw new Error('the keys of a rehearsal are open');
  const { sig: _sig, key: _key, ...rest } = line;
  const sealed = signLine({ ...rest, data: change(line.data) }, makeSigner(key.value.secret));
  if (!sealed.ok) throw new Error(sealed.fault.what);
  const [name = ''] = readdirSync(join(own.state, 'journal'));
  const file = join(own.state, 'journal', name);
  const lines = readFileSync(file, 'utf8').split('\n').slice(0, -2);
  writeFileSync(file, `${[...lines, sealed.value.text].join('\n')}\n`);
};

describe('a release that a builder writes in the journal in the name of the inspector', () => {
  const believed = async (): Promise<void> => {
    await makeAnswer('--for', 'release', '--remark', 'sits flat');
    sign('answer.json', 'second');
    expect(await takeIn()).toMatchObject({ code: 0 });
  };
  const isNamed = async (): Promise<void> => {
    const said = /release in the name of second, who did not sign that/;
    const verified = await at('verify');
    expect(verified.err).toMatch(said);
    expect(verified.code).toBe(1);
    const status = await at('status');
    expect(status.out + status.err).toMatch(said);
    expect((await at('do', 'small-plate-left', 'finish', 'inspect', '--as', 'first')).code).not.toBe(0);
  };

  it('counts with the answer that the inspector signed', async () => {
    await believed();
    forgeLast((data) => data);
    expect(await at('verify')).toMatchObject({ code: 0 });
  });

  it('does not count without any answer', async () => {
    await believed();
    forgeLast(() => ({ step: 'inspect', person: 'second' }));
    await isNamed();
  });

  it('does not count with an answer that says something else', async () => {
    await makeAnswer('--for', 'refuse', '--finding', 'a gap');
    sign('answer.json', 'second');
    expect(await takeIn()).toMatchObject({ code: 0 });
    const line = own.journal().at(-1) as unknown as JournalLine;
    expect(line.type).toBe('refuse');
    forgeLast((data) => ({ ...data, step: 'fix' }));
    expect((await at('verify')).err).toMatch(/refuse in the name of second, who did not sign that/);
  });

  it('does not count with the signature of somebody else', async () => {
    await believed();
    sign('answer.json', 'first');
    const signature = own.read('answer.json.sig');
    forgeLast((data) => ({ ...data, 'answer-sig': signature }));
    await isNamed();
  });
});
