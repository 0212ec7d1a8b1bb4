import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { builtProgram, root } from '../support/built.ts';

const scripts = join(root, 'tests/scripts/revision');
const pages = join(scripts, 'pages');
const { folder, dryfit } = builtProgram('revision');
const state = join(folder, 'state');

const compare = (...args: readonly string[]) =>
  dryfit('compare', 'aileron-travel@A', join(pages, 'aileron-travel.yaml'), '--state', state, ...args);

interface Compared {
  readonly changes: readonly { readonly step: string; readonly kind: string }[];
  readonly jobs: readonly {
    readonly side: string;
    readonly state: string;
    readonly revision: string;
    readonly changes: readonly { readonly meaning: string; readonly what: string; readonly shown?: string }[];
    readonly reopens: readonly string[];
  }[];
}

const bulletins = (): unknown => {
  const ran = dryfit('status', '--json', '--state', state, '--procedures', pages);
  return (JSON.parse(ran.stdout) as { bulletins: unknown }).bulletins;
};

describe('a new page in the middle of the build', () => {
  beforeAll(() => {
    expect(dryfit('rehearse', join(scripts, 'before.yaml'), '--state', state)).toMatchObject({ status: 0, stderr: '' });
  });

  it('affects what is done on the left, and not what is under way on the right', () => {
    const { changes, jobs } = JSON.parse(compare('--json').stdout) as Compared;
    expect(changes.filter(({ step }) => step !== '')).toEqual([
      expect.objectContaining({ step: 'down', kind: 'text', what: 'do' }),
      expect.objectContaining({ step: 'down', reading: 'down', kind: 'shifted', old: '14 ± 1 °', new: '15 ± 1 °' }),
    ]);
    const limits = jobs.map((job) => {
      const { meaning, shown } = job.changes.find(({ what }) => what === 'limits') ?? {};
      return [job.side, job.state, meaning, shown];
    });
    expect(limits).toEqual([
      ['left', 'done', 'outside', 'down 13.6 no longer lies within 15 ± 1 °'],
      ['right', 'under way', 'within', 'down 14.4 ° still lies within 15 ± 1 °'],
    ]);
    expect(jobs.map(({ reopens }) => reopens)).toEqual([['down', 'inspect'], []]);
    const text = compare();
    expect(text.status).toBe(0);
    expect(text.stdout).toMatch(/^aileron-travel A \(manual 3\.2\) → B \(manual 3\.3\): 5 changes /);
    expect(text.stdout).toContain('What it means for this build');
  });

  it('the bulletin that came with it is undecided on both sides', () => {
    expect(bulletins()).toEqual([
      {
        bulletin: 'SB-07',
        of: 'aileron-travel',
        procedure: 'aileron-pin-look',
        jobs: [expect.stringMatching(/^aileron-travel-left-/), expect.stringMatching(/^aileron-travel-right-/)],
        toCarryOut: [],
      },
    ]);
    const told = dryfit('status', '--state', state, '--procedures', pages).stdout;
    expect(told).toMatch(/dryfit do aileron-travel-left-\w+ resolve SB-07 as-what=comply\|not-applicable\|record-only/);
  });

  it('is decided, followed, complied with and inspected again; verify confirms the state and its records', () => {
    const ran = dryfit('rehearse', join(scripts, 'after.yaml'), '--state', state);
    expect(ran).toMatchObject({ status: 0, stderr: '' });
    expect(dryfit('verify', state)).toMatchObject({ status: 0, stderr: '' });
    expect(bulletins()).toEqual([]);
    const { jobs } = JSON.parse(compare('--json').stdout) as Compared;
    expect(jobs.map(({ revision, changes }) => [revision, changes])).toEqual([
      ['B', []],
      ['B', []],
    ]);
    const records = dryfit('record', 'aileron-travel-left', '--state', state, '--format', 'json');
    const record = JSON.parse(records.stdout) as Record<'moves' | 'decisions', unknown>;
    expect(record.moves).toMatchObject([{ from: { revision: 'A' }, to: { revision: 'B' }, reopened: ['down'] }]);
    expect(record.decisions).toMatchObject([
      { on: 'down', as: 'comply' },
      { on: 'SB-07', as: 'record-only' },
    ]);
  });

  it('keeps the full text of each page that was followed', () => {
    const old = dryfit('compare', 'aileron-travel@A', 'procedures/aileron-travel.yaml', '--state', state, '--json');
    expect(JSON.parse(old.stdout)).toMatchObject({ changes: [] });
    expect(readFileSync(join(pages, 'aileron-travel.yaml'), 'utf8')).toContain('DEMONSTRATION ONLY');
  });
});
