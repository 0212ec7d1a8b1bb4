import { execFileSync } from 'node:child_process';
import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
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
  it('is taken in by whoever carries it, at the hold that they name too', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    expect(await takeIn('small-plate-left', '--step', 'inspect')).toMatchObject({ code: 0, err: '' });
    expect(await at('verify')).toMatchObject({ code: 0, err: '' });
  });

  it('is signed as well with a key that took the place of a lost one', async () => {
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

  it('replayed', async () => {
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

  it('replayed after the release that it gave was voided', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    expect((await takeIn()).code).toBe(0);
    await at('do', 'small-plate-left', 'correct', 'width', 'value=12.4 mm', 'reason=misread', '--as', 'first');
    await refused('answer-replayed');
  });

  it('for another step than the one named, or for a step that is no hold', async () => {
    await makeAnswer('--for', 'release');
    sign('answer.json', 'second');
    await refused('answer-step', 'small-plate-left', '--step', 'fix');
    edit('"step":"inspect"', '"step":"fix"');
    sign('answer.json', 'second');
    await refused('answer-step');
  });

  it('for another build', async () => {
    await makeAnswer('--for', 'release');
    edit(/"build":"[0-9a-f]{64}"/, `"build":"${'0'.repeat(64)}"`);
    sign('answer.json', 'second');
    await refused('answer-build');
  });

  it('about something else than what is inspected', async () => {
    await makeAnswer('--for', 'release');
    edit(/"digest":"[0-9a-f]{64}"/, `"digest":"${'0'.repeat(64)}"`);
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

  it('by somebody else than it says', async () => {
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

  it('turned from a refusal into a release', async () => {
    await makeAnswer('--for', 'refuse', '--finding', 'a burr');
    sign('answer.json', 'second');
    edit('"answer":"refuse"', '"answer":"release"');
    await refused('answer-signature');
  });

  it('by somebody without the power', async () => {
    const made = await at('hold', 'small-plate-left', '--as', 'first', '--for', 'release');
    own.file('answer.json', made.out);
    sign('answer.json', 'first');
    await refused('power');
  });

  it('and one that is no answer is called wrongly', async () => {
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

  it('a builder has no such power', async () => {
    expect(await at('do', 'small-plate-left', 'release', 'inspect', '--as', 'first')).toMatchObject({
      code: 3,
      err: expect.stringContaining('refused power') as string,
    });
  });
});
