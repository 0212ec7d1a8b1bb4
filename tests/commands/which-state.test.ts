import { cpSync, existsSync, mkdirSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fixture, machine, type Machine } from '../support/command.ts';

/** A build that `ines` has begun in `./state`, with a folder for photos beside it. */
const begun = async (): Promise<Machine> => {
  const own = machine();
  const added = await own.run(['person', 'add', 'ines', '--gates', 'first-flight']);
  expect(added).toMatchObject({ code: 0 });
  mkdirSync(join(own.folder, 'photos/bay'), { recursive: true });
  return own;
};

/** The people of the state that a command finds. */
const peopleFrom = async (own: Machine, cwd: string, ...argv: readonly string[]): Promise<readonly string[]> => {
  const ran = await own.run(['person', '--json', ...argv], { cwd: join(own.folder, cwd) });
  expect(ran.err).toBe('');
  return (ran.json() as { people: readonly { person: string }[] }).people.map(({ person }) => person);
};

const statesUnder = (folder: string): readonly string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) => /(?:^|\/)journal$/.test(name));

describe('a command in a state folder that is not there', () => {
  it.each([
    ['do', '-', 'temperature', '19 °C'],
    ['do', '-', 'temperature', '19 °C', '--as', 'ines'],
    ['do', '-', 'nonsense'],
    ['start', 'nothing'],
    ['hold', 'nothing', '--answer', 'answer.json'],
    ['key', 'recovery', 'far.key'],
    ['key', 'accept'],
    ['stock', 'add', 'adhesive', 'number=L-1'],
    ['person', 'add', '--signed', 'invitation.json'],
    ['sync'],
    ['status'],
  ])('makes nothing: %s %s %s', async (...argv) => {
    const own = machine();
    const ran = await own.run([...argv, '--state', 'wing']);
    expect(ran.code).toBe(argv[0] === 'status' ? 0 : 2);
    expect(existsSync(join(own.folder, 'wing'))).toBe(false);
  });
});

describe('a command finds the state from any folder', () => {
  it.each(['.', 'photos', 'photos/bay', 'state', 'state/journal', 'state/builds'])('from %s', async (cwd) => {
    const own = await begun();
    expect(await peopleFrom(own, cwd)).toEqual(['ines']);
    const added = await own.run(['person', 'add', 'mika', '--power', 'helper'], { cwd: join(own.folder, cwd) });
    expect(added).toMatchObject({ code: 0 });
    expect(await peopleFrom(own, '.')).toEqual(['ines', 'mika']);
    expect(statesUnder(own.folder)).toEqual(['state/journal']);
  });

  it('through a link to a folder inside it', async () => {
    const own = await begun();
    symlinkSync(join(own.folder, 'state/builds'), join(own.folder, 'photos/linked'));
    expect(await peopleFrom(own, 'photos/linked')).toEqual(['ines']);
  });

  it('no further up than the home folder', async () => {
    const own = await begun();
    mkdirSync(join(own.folder, 'home/inner'), { recursive: true });
    expect(await peopleFrom(own, 'home/inner')).toEqual([]);
    cpSync(own.state, join(own.folder, 'home/state'), { recursive: true });
    expect(await peopleFrom(own, 'home/inner')).toEqual(['ines']);
  });

  it('a state of another name, from inside it alone', async () => {
    const own = machine();
    const added = await own.run(['person', 'add', 'ines', '--gates', 'first-flight', '--state', 'wing']);
    expect(added.code).toBe(0);
    expect(await peopleFrom(own, 'wing/journal')).toEqual(['ines']);
    expect(await peopleFrom(own, '.')).toEqual([]);
  });

  it('with the procedures beside it, where there are none here', async () => {
    const own = await begun();
    cpSync(fixture('procedures'), join(own.folder, 'procedures'), { recursive: true });
    const [name = ''] = readdirSync(join(own.folder, 'procedures')).filter((file) => file.endsWith('.yaml'));
    const started = await own.run(['ahead', name.replace('.yaml', ''), 'no-such-step'], {
      cwd: join(own.folder, 'photos'),
    });
    expect(started.err).toContain('no-such-step');
  });

  it('never a journal of another kind, nor one that an empty variable names', async () => {
    const own = await begun();
    mkdirSync(join(own.folder, 'photos/journal'));
    writeFileSync(join(own.folder, 'photos/journal/monday.txt'), 'rain');
    expect(await peopleFrom(own, 'photos')).toEqual(['ines']);
    const ran = await own.run(['person', '--json'], { variables: { DRYFIT_STATE: '' } });
    expect(ran.out).toContain('ines');
    const empty = await own.run(['person', '--state', '']);
    expect(empty).toMatchObject({ code: 2, out: '' });
    expect(empty.err).toContain('--state DIR');
  });
});

describe('a state is never founded inside another', () => {
  const called: readonly (readonly string[])[] = [
    ['person', 'add', 'uwe'],
    ['status'],
    ['verify'],
    ['sync'],
    ['do', '-', 'remark', 'text=x'],
    ['rehearse', fixture('scripts/keel-scarf.yaml')],
    ['start', 'block'],
    ['record', 'x'],
    ['gate'],
    [],
  ];

  it.each(called)('called wrongly: %s', async (...argv) => {
    const own = await begun();
    symlinkSync(join(own.folder, 'state/records-of-old'), join(own.folder, 'link'));
    mkdirSync(join(own.folder, 'state/records-of-old'));
    for (const inner of ['state/state', 'state/journal', 'state/builds/deep/deeper', 'link', 'link/state']) {
      const ran = await own.run([...argv, '--state', inner]);
      expect(ran, inner).toMatchObject({ code: 2, out: '' });
      expect(ran.err).toContain(`${inner} is inside another state, ${own.state}`);
    }
    expect(statesUnder(own.folder)).toEqual(['state/journal']);
  });

  it('nor over what is left of one whose journal is gone', async () => {
    for (const empty of [true, false]) {
      const own = await begun();
      rmSync(join(own.state, 'journal'), { recursive: true });
      if (empty) mkdirSync(join(own.state, 'journal'));
      const ran = await own.run(['person', 'add', 'uwe']);
      expect(ran.code).toBe(1);
      expect(ran.err).toContain('the journal of this state is gone: allowed_signers is here');
      expect(existsSync(join(own.state, 'journal'))).toBe(empty);
    }
  });

  it('and one that is inside another already can still be named and moved out', async () => {
    const own = await begun();
    cpSync(own.state, join(own.folder, 'inner'), { recursive: true });
    cpSync(join(own.folder, 'inner'), join(own.state, 'state'), { recursive: true });
    expect(await peopleFrom(own, '.', '--state', 'state/state')).toEqual(['ines']);
    const verified = await own.run(['verify']);
    expect(verified.out).toContain('another state is inside this one');
  });
});
