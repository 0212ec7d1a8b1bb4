import { describe, expect, it } from 'vitest';
import { emptyFile, readBuildFile, type BuildFile } from '../../src/aircraft/file.ts';

const read = (text: string): BuildFile => {
  const { build, faults } = readBuildFile(text, 'build.yaml');
  expect(faults).toEqual([]);
  return build ?? emptyFile;
};

/** Each fault of a file: its place, its code and what to do. */
const faultsOf = (text: string): readonly string[] => {
  const { build, faults } = readBuildFile(text, 'build.yaml');
  expect(build === undefined).toBe(faults.length > 0);
  return faults.map(({ where, code, todo }) => `${where?.replace('build.yaml:', '') ?? ''} ${code}: ${todo}`);
};

const evidence = `${'a'.repeat(64)}.pdf`;

describe('build.yaml', () => {
  it('is read whole: every key has its place', () => {
    expect(
      read(`aircraft: { model: A1, serial: 0012 }
gates: [hull-close, first-flight]
plan:
  - { procedure: rib, each: [left, right], before: hull-close }
  - { procedure: hull }
places: [hangar, cellar]
counters: [engine hours]
people:
  - { person: ines, name: Ines Falk, powers: [builder, inspector] }
  - { person: bo-2 }
tools:
  - { tool: TW-2, kind: torque-wrench, title: Long one, uncertainty: 2 N·m, resolution: 1 N·m, calibration: 0.5 N·m, in-date-until: 2027-01-31 }
stock:
  - { material: glue, number: L-1, made: 2026-01-01, use-by: 2027-01-31, opened: 2026-02-01, once-opened: 6 months, quantity: 2 kg, where: shelf, quarantine: smells, quarantine-ended: aired, extended: [{ to: 2027-06-30, because: letter, evidence: ${evidence}, by: ines, on: 2026-12-01 }] }
  - { part: elbow, serial: 0417 }
before-dryfit:
  - { procedure: spar, each: left, shown: paper log, date: 2025-12-01 }
  - { feature: keel-line, shown: jig, date: 2025-11-01 }
`),
    ).toEqual({
      aircraft: { model: 'A1', serial: '0012' },
      gates: ['hull-close', 'first-flight'],
      plan: [{ procedure: 'rib', each: ['left', 'right'], before: 'hull-close' }, { procedure: 'hull' }],
      places: ['hangar', 'cellar'],
      counters: ['engine hours'],
      people: [
        { person: 'ines', name: 'Ines Falk', powers: ['builder', 'inspector'] },
        { person: 'bo-2', powers: [] },
      ],
      tools: [
        {
          tool: 'TW-2',
          kind: 'torque-wrench',
          title: 'Long one',
          uncertainty: '2 N·m',
          resolution: '1 N·m',
          calibration: '0.5 N·m',
          'in-date-until': '2027-01-31',
        },
      ],
      stock: [
        {
          material: 'glue',
          number: 'L-1',
          made: '2026-01-01',
          'use-by': '2027-01-31',
          opened: '2026-02-01',
          'once-opened': '6 months',
          quantity: '2 kg',
          where: 'shelf',
          quarantine: 'smells',
          'quarantine-ended': 'aired',
          extended: [{ to: '2027-06-30', because: 'letter', evidence, by: 'ines', on: '2026-12-01' }],
        },
        { part: 'elbow', serial: '0417', extended: [] },
      ],
      beforeDryfit: [
        { procedure: 'spar', each: 'left', shown: 'paper log', date: '2025-12-01' },
        { feature: 'keel-line', shown: 'jig', date: '2025-11-01' },
      ],
    });
  });

  it('without a plan has none, and without a line says nothing yet', () => {
    expect(read('aircraft: A1\n')).toEqual({ ...emptyFile, aircraft: { aircraft: 'A1' } });
    expect(read('gates: [g]\n')).toEqual({ ...emptyFile, gates: ['g'] });
    expect(read('plan: []\n')).toEqual({ ...emptyFile, plan: [] });
    expect(read('')).toEqual(emptyFile);
    expect(read('# nothing yet\n')).toEqual(emptyFile);
  });

  it.each([
    [
      '- a\n',
      ['1:1 wrong-type: write keys: aircraft, gates, plan, places, counters, people, tools, stock, before-dryfit'],
    ],
    ['gate: [a]\n', ['1:1 unknown-key: write gates instead']],
    ['gates: a\n', ['1:8 wrong-type: write a list']],
    ['gates: [[a]]\n', ['1:9 wrong-type: write a list of texts']],
    ['gates: [a, b, a]\n', ['1:1 duplicate-id: keep one']],
    ['places: { a: b }\n', ['1:9 wrong-type: write a list']],
    ['counters: [{ a: b }]\n', ['1:12 wrong-type: write a list of texts']],
    ['aircraft: { model: [a] }\n', ['1:20 wrong-type: write text']],
    ['people: [ines]\n', ['1:10 wrong-type: write keys, such as { person: … }']],
    ['people: [{ name: Ines }]\n', ['1:10 missing-key: add person']],
    ['people: [{ person: Ines }]\n', ['1:10 person-id: use a to z, 0 to 9 and -']],
    ['people: [{ person: ines_2 }]\n', ['1:10 person-id: use a to z, 0 to 9 and -']],
    ['people: [{ person: ines, power: [builder] }]\n', ['1:26 unknown-key: write powers instead']],
    ['people: [{ person: ines }, { person: ines }]\n', ['1:1 duplicate-id: keep one']],
    ['people: [{ person: ines, powers: builder }]\n', ['1:34 wrong-type: write a list']],
    ['tools: [T-1]\n', ['1:9 wrong-type: write keys, such as { tool: … }']],
    ['tools: [{ tool: T-1 }]\n', ['1:9 missing-key: add kind']],
    ['tools: [{ kind: caliper }]\n', ['1:9 missing-key: add tool']],
    ['tools: [{ tool: T-1, kind: c, in-date-until: soon }]\n', ['1:46 day-unreadable: write it as 2027-01-31']],
    ['tools: [{ tool: T-1, kind: c }, { tool: T-1, kind: d }]\n', ['1:1 duplicate-id: keep one']],
    ['stock: [glue]\n', ['1:9 wrong-type: write keys, such as { material: … }']],
    ['stock: [{ number: L-1 }]\n', ['1:9 missing-key: add material or part']],
    ['stock: [{ material: glue, made: x }]\n', ['1:33 day-unreadable: write it as 2027-01-31']],
    ['stock: [{ material: glue, use-by: x }]\n', ['1:35 day-unreadable: write it as 2027-01-31']],
    ['stock: [{ material: glue, opened: x }]\n', ['1:35 day-unreadable: write it as 2027-01-31']],
    ['stock: [{ material: glue, once-opened: long }]\n', ['1:9 span-unreadable: write it as 6 months']],
    ['stock: [{ material: glue, extended: [x] }]\n', ['1:38 wrong-type: write keys, such as { to: … }']],
    ['stock: [{ material: glue, extended: [{ to: 2027-01-31 }] }]\n', ['1:38 missing-key: add because']],
    ['stock: [{ material: glue, extended: [{ because: x }] }]\n', ['1:38 missing-key: add to']],
    [
      'stock: [{ material: glue, extended: [{ to: x, because: y }] }]\n',
      ['1:44 day-unreadable: write it as 2027-01-31'],
    ],
    [
      'stock: [{ material: glue, extended: [{ to: 2027-01-31, because: y, evidence: letter.pdf }] }]\n',
      ['1:38 evidence-name: use: dryfit stock extend'],
    ],
    ['before-dryfit: [x]\n', ['1:17 wrong-type: write keys, such as { procedure: … }']],
    ['before-dryfit: [{ shown: log, date: 2026-01-01 }]\n', ['1:17 missing-key: add procedure or feature']],
    ['before-dryfit: [{ feature: a, date: 2026-01-01 }]\n', ['1:17 missing-key: add shown']],
    ['before-dryfit: [{ feature: a, shown: log }]\n', ['1:17 missing-key: add date']],
    ['before-dryfit: [{ feature: a, shown: log, date: then }]\n', ['1:49 day-unreadable: write it as 2027-01-31']],
    ['plan: [x]\n', ['1:8 wrong-type: write keys, such as { procedure: … }']],
    ['plan: [{ each: [left] }]\n', ['1:8 missing-key: add procedure']],
    ['plan: [{ procedure: a, befor: g }]\n', ['1:24 unknown-key: write before instead']],
    [
      'gates: [hull-close]\nplan: [{ procedure: a, before: hull-clos }]\n',
      ['2:32 gate-unknown: write hull-close instead'],
    ],
    ['gates: [g]\nplan: [{ procedure: a, before: zzzzzz }]\n', ['2:32 gate-unknown: gates: g']],
    ['plan: [{ procedure: a, before: g }]\n', ['1:32 gate-unknown: gates: none; list them under gates']],
  ])('%s is refused at its place, with what to do', (text, faults) => {
    expect(faultsOf(text)).toEqual(faults);
  });

  it('names a power that there is not, and lists those that there are', () => {
    expect(faultsOf('people: [{ person: ines, powers: [builder, boss, [x]] }]\n')).toEqual([
      expect.stringMatching(/^1:44 power-unknown: powers: .*builder/) as string,
      expect.stringMatching(/^1:50 power-unknown/) as string,
    ]);
  });

  it('reports every fault at once, and the faults of the YAML itself with their place', () => {
    expect(faultsOf('gates: a\nplaces: b\n')).toHaveLength(2);
    expect(faultsOf('gates: [a\n').map((one) => /^\d+:\d+ /.test(one))).not.toContain(false);
    expect(faultsOf(`people: [${Array.from({ length: 150 }, () => 'x').join(', ')}]\n`)).toHaveLength(100);
  });

  it('has at most so many lines of each kind', () => {
    const gates = (count: number): string =>
      `gates: [${Array.from({ length: count }, (_, n) => `g${n}`).join(', ')}]\n`;
    expect(read(gates(200)).gates).toHaveLength(200);
    expect(faultsOf(gates(201))).toEqual(['1:8 too-many: keep it to 200']);
  });
});
