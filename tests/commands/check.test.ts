import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fixture, machine } from '../support/command.ts';

const sound = 'procedure: a\ntitle: A\nrevision: A\nsteps:\n  - { step: one, title: One }\n';

describe('check', () => {
  it('finds nothing wrong with the procedures of the tests', async () => {
    const own = machine();
    expect(await own.run(['check', fixture('procedures')])).toMatchObject({ code: 0, err: '' });
  });

  it.each([
    ['a wrong key', sound.replace('title: One', 'titel: One'), /^bad\.yaml:5:18: error unknown-key: .*; .*title/],
    ['a wrong kind', sound.replace('title: A', 'title: [A]'), /^bad\.yaml:2:\d+: error wrong-kind: /],
    [
      'limits the wrong way round',
      `${sound}    readings: [{ reading: gap, unit: mm, limits: 2 to 1 mm }]\n`.replace(
        '{ step: one, title: One }',
        'step: one\n    title: One',
      ),
      /^bad\.yaml:7:\d+: error limits-empty: /,
    ],
    [
      'a missing unit',
      `${sound}    readings: [{ reading: gap, unit: mm, limits: at most 2 }]\n`.replace(
        '{ step: one, title: One }',
        'step: one\n    title: One',
      ),
      /^bad\.yaml:7:\d+: error unit-missing: /,
    ],
    ['no YAML', 'a: [b\n', /^bad\.yaml:\d+:\d+: error not-yaml: /],
    ['nothing', '', /^bad\.yaml:1:1: error empty-file: /],
    [
      'control characters',
      sound.replace('title: A', 'title: "a\\e[2Jb"'),
      /^bad\.yaml:2:\d+: error control-character: /,
    ],
  ])('tells %s in one line, with what to do, and exits 1', async (_, text, message) => {
    const own = machine();
    own.file('bad.yaml', text);
    const ran = await own.run(['check', 'bad.yaml']);
    const lines = ran.err.trim().split('\n');
    expect(lines[0]).toMatch(message);
    expect(lines[0]).toMatch(/: error [a-z0-9-]+: .+; .+/);
    expect(ran.err).not.toMatch(/\n\s+at |\u001b/);
    expect(ran.code).toBe(1);
  });

  it('refuses a file of 20 MB at once, without reading it', async () => {
    const own = machine();
    own.file('large.yaml', Buffer.alloc(20 * 1024 * 1024, 'a'));
    expect(await own.run(['check', 'large.yaml'])).toMatchObject({
      code: 1,
      err: expect.stringMatching(/^large\.yaml:1:1: error too-large: /) as string,
    });
  });

  it('reports a folder without a procedure, where scripts are not counted', async () => {
    const own = machine();
    mkdirSync(join(own.folder, 'some'));
    own.file('some/s.yaml', 'script: x\nentries: []\n');
    own.file('some/readme.md', 'no');
    expect(await own.run(['check', 'some'])).toMatchObject({
      code: 1,
      err: expect.stringMatching(/^some:1:1: error no-procedures: /) as string,
    });
  });

  it('reports every broken file of a folder, and a file whose name is not its id', async () => {
    const own = machine();
    mkdirSync(join(own.folder, 'some'));
    own.file('some/a.yaml', sound);
    own.file('some/b.yaml', sound);
    own.file('some/c.yaml', 'steps: 1\n');
    const ran = await own.run(['check', 'some/', '--json']);
    expect(ran.code).toBe(1);
    const { messages } = ran.json() as { messages: { file: string; code: string }[] };
    expect(messages).toContainEqual(expect.objectContaining({ file: 'some/b.yaml', code: 'name-differs' }));
    expect(new Set(messages.map(({ file }) => file))).toEqual(new Set(['some/b.yaml', 'some/c.yaml']));
    for (const message of messages)
      expect(Object.keys(message).toSorted()).toEqual(['code', 'column', 'file', 'level', 'line', 'todo', 'what']);
  });

  it('compares the gates of a folder with those of the build', async () => {
    const own = machine();
    for (const folder of ['some', 'state']) mkdirSync(join(own.folder, folder));
    own.file('some/a.yaml', sound.replace('title: One', 'title: One, gate: hull-clos'));
    expect(await own.run(['check', 'some'])).toMatchObject({ code: 0, err: '' });
    own.file('state/build.yaml', 'gates: [hull-close]\n');
    const ran = await own.run(['check', 'some']);
    expect(ran.code).toBe(1);
    expect(ran.err).toMatch(/^some\/a\.yaml:5:\d+: error unknown-gate: .*; write hull-close\n$/);
  });

  it('explains every code that it can report', async () => {
    const own = machine();
    for (const code of ['unit-missing', 'no-procedures'])
      expect(await own.run(['check', '--about', code])).toMatchObject({ code: 0, err: '' });
  });
});
