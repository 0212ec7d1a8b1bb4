import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { machine, type Machine } from '../support/command.ts';

const rib = `procedure: rib
title: Fit the rib
revision: A
steps:
  - { step: fit, title: Fit the rib }
`;
const hull = `procedure: hull
title: Close the hull
revision: A
steps:
  - { step: close, title: Close the hull, gate: hull-close }
`;

let own: Machine;
const at = (...argv: readonly string[]) => own.run([...argv, '--procedures', `${own.folder}/pages`]);

beforeEach(async () => {
  own = machine();
  mkdirSync(join(own.folder, 'pages'));
  own.file('pages/rib.yaml', rib);
  own.file('pages/hull.yaml', hull);
  expect((await at('person', 'add', 'ines', '--gates', 'hull-close, first-flight')).code).toBe(0);
});

describe('dryfit gate', () => {
  it('shows the first gate that is not passed, or the one named, and the nearest to one that is not there', async () => {
    expect((await at('gate', '--json')).json()).toEqual({ gate: 'hull-close', open: [], excepted: [] });
    expect((await at('gate', 'first-flight', '--json')).json()).toEqual({
      gate: 'first-flight',
      open: [
        { kind: 'not-begun', what: 'hull' },
        { kind: 'not-begun', what: 'rib' },
      ],
      excepted: [],
    });
    const odd = await at('gate', 'hull-clos');
    expect(odd.code).toBe(2);
    expect(odd.err).toContain("did you mean 'hull-close'?");
    expect((await at('gate', 'hull-close', 'first-flight')).code).toBe(2);
  });

  it('gives an exception with its reason and person, and the instant at which the gate was passed', async () => {
    await at('start', 'hull', '--json');
    await at('do', 'hull', 'loose', 'cap', 'count=1', 'left=off', 'because=paint', 'before=hull-close');
    expect((await at('do', 'hull', 'finish', 'close')).code).toBe(3);
    const departed = await at(
      'do',
      'hull',
      'depart',
      'gate-open',
      'says=all closed',
      'did=cap off',
      'because=paint wet',
    );
    expect(departed.out).toContain('excepted at hull-close: loose item: T-1 cap');
    expect((await at('do', 'hull', 'finish', 'close')).code).toBe(0);
    const sheet = (await at('gate', 'hull-close', '--json')).json();
    expect(sheet).toMatchObject({
      gate: 'hull-close',
      open: [],
      excepted: [{ kind: 'loose', what: 'T-1 cap: 1 off', because: 'paint wet', by: 'ines' }],
      passed: expect.stringMatching(/^\d{4}-.*T.*[+-]\d\d:\d\d$/) as string,
    });
    expect(Object.keys((sheet as { excepted: object[] }).excepted[0] ?? {}).toSorted()).toEqual([
      'because',
      'by',
      'job',
      'kind',
      'what',
    ]);
  });

  it('lists what is open one item a line where it is much', async () => {
    await at('start', 'hull', '--json');
    for (const item of ['a', 'b', 'c', 'd', 'e'])
      await at('do', 'hull', 'loose', item, 'count=1', 'left=off', 'because=paint', 'before=hull-close');
    const refused = await at('do', 'hull', 'finish', 'close');
    expect(refused.code).toBe(3);
    expect(refused.err.split('\n').slice(0, 3)).toEqual([
      expect.stringContaining('the gate hull-close has 5 open') as string,
      expect.stringMatching(/^ {2}loose item: T-1 a: 1 off/) as string,
      expect.stringMatching(/^ {2}loose item: T-2 b: 1 off/) as string,
    ]);
  });
});

describe('the plan', () => {
  const builds = () => own.journal().filter(({ type }) => type === 'build');

  it('is what the procedures folder holds, taken in with a signed entry before a command that asks for it', async () => {
    expect(builds().at(-1)).toMatchObject({
      by: 'ines',
      data: {
        pages: [
          { procedure: 'hull', each: [], gates: ['hull-close'] },
          { procedure: 'rib', gates: [] },
        ],
      },
    });
    await at('start', 'rib', '--json');
    expect(builds()).toHaveLength(1);
    own.file('pages/spar.yaml', rib.replaceAll('rib', 'spar'));
    expect((await at('status')).out).toContain('spar: not in the plan yet');
    expect((await at('status', '--json')).json()).toMatchObject({ newPages: ['spar'] });
    await at('do', 'rib', 'remark', 'nothing to do with it');
    expect(builds()).toHaveLength(1);
    const started = await at('start', 'spar');
    expect(started.out).toContain('new in the procedures folder: spar; planned before first-flight');
    expect(builds()).toHaveLength(2);
    expect((await at('status', '--json')).json()).toMatchObject({ newPages: [] });
  });

  it('keeps a page that cannot be read, and one that is gone while a job of it is begun', async () => {
    await at('start', 'rib', '--json');
    own.file('pages/rib.yaml', 'procedure: rib\nsteps: [');
    rmSync(join(own.folder, 'pages/hull.yaml'));
    await at('do', 'rib', 'loose', 'cap', 'count=1', 'left=off', 'because=paint', 'before=hull-close');
    expect(builds().at(-1)).toMatchObject({ data: { pages: [{ procedure: 'rib', each: [], gates: [] }] } });
    rmSync(join(own.folder, 'pages/rib.yaml'));
    await at('do', 'rib', 'loose', 'cap', 'count=1', 'left=off', 'because=paint', 'before=hull-close');
    expect(builds().at(-1)).toMatchObject({ data: { pages: [{ procedure: 'rib' }] } });
  });

  it('says what was taken in also where the command is refused', async () => {
    own.file('pages/spar.yaml', rib.replaceAll('rib', 'spar').replace('revision: A', 'revision: A\nafter: [hull]'));
    const refused = await at('start', 'spar');
    expect(refused.code).toBe(3);
    expect(refused.err).toContain('new in the procedures folder: spar');
  });
});

describe('a slip in build.yaml', () => {
  it('is on stderr with its place, whatever the command, also where the status is kept', async () => {
    await at('start', 'rib', '--json');
    await at('status');
    own.file('state/build.yaml', `${own.read('state/build.yaml')}plan: [{ procedure: rib, before: hull-clos }]\n`);
    for (const argv of [
      ['status'],
      ['status', '--json'],
      ['tool'],
      ['stock'],
      ['gate'],
      ['start', 'nothing'],
      ['loose'],
    ])
      expect((await at(...argv)).err, argv.join(' ')).toMatch(/build\.yaml:\d+:\d+: .*hull-clos.*write hull-close/);
    expect((await at('gate')).out).toContain('Gate hull-close');
  });
});

describe('do -', () => {
  it('takes the only open job, and names them where there are several or none', async () => {
    expect((await at('do', '-', 'remark', 'x')).err).toContain('no job is open; start one');
    await at('start', 'rib', '--json');
    expect((await at('do', '-', 'remark', 'x')).code).toBe(0);
    await at('start', 'hull', '--json');
    const asked = await at('do', '-', 'remark', 'x');
    expect(asked.code).toBe(2);
    expect(asked.err).toMatch(
      /2 jobs are open: rib-.* \(Fit the rib\); hull-.* \(Close the hull\); name one instead of -/,
    );
  });
});
