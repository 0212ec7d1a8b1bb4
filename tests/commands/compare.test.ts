import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { machine, projectFolder } from '../support/command.ts';

const demo = (name: string): string => readFileSync(join(projectFolder, 'procedures', `${name}.yaml`), 'utf8');

/** The demo's manual, revision 3.3: one page of it. */
const revised = demo('aileron-travel')
  .replace('revision: A\n', 'revision: B\n')
  .replace('revision: 3.2', 'revision: 3.3')
  .replace('limits: 14 ± 1 °', 'limits: 15 ± 1 °');

const withFiles = () => {
  const own = machine();
  own.file('old.yaml', demo('aileron-travel'));
  own.file('new.yaml', revised);
  return own;
};

describe('compare', () => {
  it('prints a summary line, then the details, and exits 0', async () => {
    const ran = await withFiles().run(['compare', 'old.yaml', 'new.yaml']);
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(ran.out.split('\n')).toEqual([
      'aileron-travel A (manual 3.2) → B (manual 3.3): 3 changes in the head and 1 of 12 steps: 1 shifted, 2 changed',
      '  head',
      '    revision: changed: A → B',
      '    manual revision: changed: 3.2 → 3.3',
      '  down  Down to the stop',
      '    down limits: shifted: 14 ± 1 ° → 15 ± 1 °',
      '',
    ]);
  });

  it('prints the changes as data, and nothing else', async () => {
    const ran = await withFiles().run(['compare', 'old.yaml', 'new.yaml', '--json']);
    expect(ran.json()).toEqual({
      changes: [
        { step: '', kind: 'changed', what: 'revision', old: 'A', new: 'B' },
        { step: '', kind: 'changed', what: 'manual revision', old: '3.2', new: '3.3' },
        { step: 'down', reading: 'down', kind: 'shifted', what: 'limits', old: '14 ± 1 °', new: '15 ± 1 °' },
      ],
    });
  });

  it('finds no change between a file and itself', async () => {
    const own = withFiles();
    const ran = await own.run(['compare', 'old.yaml', 'old.yaml', '--json']);
    expect(ran).toMatchObject({ code: 0 });
    expect(ran.json()).toEqual({ changes: [] });
    expect((await own.run(['compare', 'old.yaml', 'old.yaml'])).out).toMatch(/: nothing has changed\n$/);
  });

  it('needs no state, and makes none', async () => {
    const own = withFiles();
    await own.run(['compare', 'old.yaml', 'new.yaml']);
    expect(() => readFileSync(own.state)).toThrow(/ENOENT/);
  });

  it('compares folders, procedure by procedure', async () => {
    const own = machine();
    for (const folder of ['before', 'after']) mkdirSync(join(own.folder, folder));
    own.file('before/aileron-travel.yaml', demo('aileron-travel'));
    own.file('after/aileron-travel.yaml', revised);
    own.file('before/strut-bolts.yaml', demo('strut-bolts'));
    own.file('after/fuel-flow.yaml', demo('fuel-flow'));
    const ran = await own.run(['compare', 'before', 'after', '--json']);
    const { changes } = ran.json() as { changes: Record<string, string>[] };
    expect(changes.map(({ procedure, kind, what }) => `${procedure} ${kind} ${what}`)).toEqual([
      'strut-bolts removed procedure',
      'fuel-flow added procedure',
      'aileron-travel changed revision',
      'aileron-travel changed manual revision',
      'aileron-travel shifted limits',
    ]);
    const text = await own.run(['compare', 'before', 'after']);
    expect(text.out).toMatch(/^1 procedure in both, 1 changed; 1 added, 1 removed\n/);
  });

  it('stays readable for two unrelated files: a short line for each step', async () => {
    const own = machine();
    own.file('a.yaml', demo('aileron-travel'));
    own.file('b.yaml', demo('strut-bolts'));
    const ran = await own.run(['compare', 'a.yaml', 'b.yaml']);
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/^two different procedures, aileron-travel .* and strut-bolts /);
    const lines = ran.out.trimEnd().split('\n');
    expect(lines.filter((line) => /^ {2}removed {2}/.test(line)).length).toBeGreaterThan(8);
    expect(lines.length).toBeLessThan(80);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThan(400);
  });

  it('accepts that two ids are the same thing', async () => {
    const own = machine();
    own.file('old.yaml', demo('aileron-travel'));
    own.file(
      'new.yaml',
      demo('aileron-travel').replace(
        '- step: zero\n    title: Zero of the inclinometer',
        '- step: clamp-on\n    title: Instrument on',
      ),
    );
    const kinds = async (...more: readonly string[]): Promise<readonly string[]> => {
      const ran = await own.run(['compare', 'old.yaml', 'new.yaml', '--json', ...more]);
      return (ran.json() as { changes: { kind: string }[] }).changes.map(({ kind }) => kind);
    };
    expect(await kinds('--same', 'zero=clamp-on')).toEqual(['renamed', 'text']);
    expect((await own.run(['compare', 'old.yaml', 'new.yaml', '--same', 'zero'])).code).toBe(2);
  });

  it.each([
    [['compare'], /word-missing/, 2],
    [['compare', 'old.yaml'], /word-missing/, 2],
    [['compare', 'old.yaml', 'new.yaml', 'third.yaml'], /word-extra/, 2],
    [['compare', 'old.yaml', 'gone.yaml'], /revision-unknown/, 2],
    [['compare', 'old.yaml', '.'], /kinds-differ|no-procedures/, 2],
    [['compare', 'old.yaml', 'bad.yaml'], /procedure-faulty/, 1],
  ])('%j is told in one line', async (argv, message, code) => {
    const own = withFiles();
    own.file('bad.yaml', 'procedure: a\ntitel: x\n');
    const ran = await own.run(argv);
    expect(ran.code).toBe(code);
    expect(ran.err.trim().split('\n').at(-1)).toMatch(message);
  });

  it('shows characters that would steer a terminal', async () => {
    const ran = await machine().run(['compare', 'a\u001b[2J', 'b\u202e']);
    expect(ran.err).toContain('\\u{1b}[2J');
    expect(ran.err).not.toContain('\u001b');
  });
});
