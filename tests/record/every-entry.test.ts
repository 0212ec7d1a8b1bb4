import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { msOf } from '../../src/job/cure.ts';
import type { Entry } from '../../src/job/entry.ts';
import { givenFields, isVerb, verbNames, type Verb } from '../../src/job/verbs.ts';
import { recordOf } from '../../src/record/record.ts';
import { recordHtml } from '../../src/report/record-sheet.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { build } from './fixture.ts';

/*
 * Whatever a person entered in a job is in its record, in its own words: every field of every verb. A new verb or a new field whose words
 * are nowhere in the record fails here.
 */

const page = (revision: string, limits: string): string => `procedure: rib
title: Bond a rib
revision: ${revision}
each: [left, right]
gather:
  tools: [{ tool: gauge }, { tool: wrench }, { tool: scale }]
  materials: [{ material: adhesive, lot: true }]
  parts: [{ part: A1-27, serial: true }]
steps:
  - step: measure
    title: Measure
    readings:
      - { reading: gap, unit: mm, limits: ${limits}, tool: gauge, source: invented }
      - { reading: width, unit: mm, limits: 8 ± 1 mm, positions: [root, tip], times: 2, source: invented }
  - { step: pull, title: Pull, tighten: { fasteners: 1, torque: 18 to 24 N·m, drag: measured, tool: wrench, mark: true, source: invented } }
  - { step: turn, title: Turn, tighten: { fasteners: 1, finger-tight: 3.5 to 5 turns, past: 1.5 to 2.5 turns, source: invented } }
  - { step: mix, title: Mix, mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, tolerance: 2 %, tool: scale, sample: true } }
  - { step: spread, title: Spread, in-pot-life-of: mix }
  - { step: set, title: Let it set, place: loft, cure: { of: mix, stages: { handle: 2 h at 18 °C }, floor: 18 °C } }
  - { step: crack, title: Break the sample, break: { of: mix, not-before: handle } }
  - { step: shoot, title: Keep a photo, photo: [{ photo: end, show: the free end }] }
  - { step: watch, title: Show it, hold: { kind: witness, by: witness } }
  - { step: look, title: Have it looked at, hold: { by: inspector } }
  - { step: wipe, title: Wipe it }
  - { step: sweep, title: Sweep, readings: [{ reading: dust, text: true }] }
`;

const hole = (revision: string, reading: string, limits: string): string => `procedure: hole
title: Drill a hole
revision: ${revision}
steps:
  - step: drill
    title: Drill
    readings:
      - { reading: ${reading}, unit: mm, limits: ${limits}, positions: [fore, aft], source: invented }
      - { reading: shank, unit: mm, limits: 7.5 to 8.5 mm, source: invented }
  - { step: look, title: Have it looked at, hold: { by: inspector, self: after 24 h } }
`;

const bench = (): Engine =>
  engineWith([page('A', 'at most 0.2 mm'), page('B', 'at most 0.19 mm')], {
    gates: ['hull-close', 'first-flight'],
    tools: [
      { tool: 'G-1', kind: 'gauge' },
      { tool: 'W-1', kind: 'wrench' },
      { tool: 'SC-1', kind: 'scale' },
    ],
  });

const file = (name: string, key = 'file') => ({ [key]: name, [`${key}-sha256`]: 'a'.repeat(64) });

const before = '2026-03-02T09:10:00+01:00';

/** Walks from the first value to the last look. Every act is taken. */
const wholeWalk = (): Engine => {
  const engine = bench();
  const says = (...[verb, object, data, when]: Parameters<Engine['says']>): void => {
    const said = engine.at('+5m').says(verb, object, data, when);
    if (said.fault()) throw new Error(`${verb} ${object ?? ''}: ${JSON.stringify(said.fault())}`);
  };
  says('start', 'rib', { each: 'left' });
  says('use', 'gauge', { tool: 'G-1' });
  says('begin', 'measure', { with: ['Bo'] }, before);
  says('read', 'gap', { value: '0.41 mm', tool: 'G-1' });
  says('read', 'gap', { value: '0.42 mm', reason: 'planed once' });
  says('dispose', 'gap', {
    'as-what': 'use-as-is',
    reason: 'told to',
    author: 'Dagny Roth',
    ...file('roth.pdf', 'letter'),
  });
  for (const [position, n] of [
    ['root', 1],
    ['root', 2],
    ['tip', 1],
    ['tip', 2],
  ] as const)
    says('read', 'width', { value: `8.${n} mm`, position, n });
  says('correct', 'width', { value: '8.31 mm', position: 'tip', n: 1, reason: 'the other rule' });
  says('interrupt');
  says('resume', undefined, { rechecked: ['measure'] });
  says('finish', 'measure', { with: ['Cas'], reason: 'seen twice' });
  says('tighten', 'pull', { fastener: 1, torque: '31 N·m', drag: '2 N·m', tool: 'W-1', mark: true });
  says('dispose', 'pull', { 'as-what': 'rework', reason: 'a new bolt', fastener: 1 });
  says('tighten', 'pull', { fastener: 1, torque: '23 N·m', drag: '2.5 N·m', reason: 'new bolt in', mark: true });
  says('finish', 'pull');
  says('tighten', 'turn', { fastener: 1, 'finger-tight': '4 turns', past: '2 turns' });
  says('finish', 'turn');
  says('lot', 'adhesive', { number: 'L-204', made: '2026-01-05', 'use-by': '2027-01-31' });
  says('lot', 'adhesive', { number: 'L-205', part: 'hardener', made: '2026-01-06', 'use-by': '2027-02-28' });
  says('shop', undefined, { temperature: '20.5 °C', surface: '19.5 °C', humidity: '55 %' });
  says('mix', 'mix', {
    weights: { resin: '100.1 g', hardener: '44.2 g' },
    sample: 'S-7',
    temperature: '20.6 °C',
    with: ['Dov'],
    tool: 'SC-1',
  });
  says('mix', 'mix', { weights: { resin: '90.1 g', hardener: '55.2 g' }, discarded: true });
  says('mix', 'mix', { weights: { resin: '80.1 g', hardener: '35.3 g' }, sample: 'S-8' });
  says('discard', 'B-3', { because: 'fell to the floor' });
  says('finish', 'mix');
  says('finish', 'spread');
  says('temperature', '20.7 °C', { place: 'loft' });
  engine.at('+1h');
  says('temperature', '21.7 °C', { place: 'loft', lowest: '19.7 °C', since: '2026-03-02T11:30:00+01:00' });
  const rows = 'time;temp;min\n02/03/2026 12:00;21.9;21.8\n02/03/2026 14:00;21.9;21.8\n';
  engine.at('2026-03-02T15:00:00+01:00');
  const read = { place: 'loft', column: 'temp', minimum: 'min', unit: 'C', dates: 'day-first', offset: '+01:00' };
  says('temperatures', 'loft.csv', { ...read, ...engine.log(rows) });
  says('finish', 'set');
  says('break', 'S-7', { result: 'held', remark: 'wood on both faces' });
  says('finish', 'crack');
  says('photo', 'end', file('end.jpg'));
  says('finish', 'shoot');
  says('part', 'A1-27', { serial: 'SN-77', lot: 'PL-3' });
  says('loose', 'guard', {
    count: 2,
    left: 'off',
    because: 'cable first',
    before: 'hull-close',
    place: 'bay three',
    ...file('guard.jpg', 'photo'),
  });
  says('close', 'T-1', { count: 1 });
  says('close', 'T-1', { count: 0, reason: 'never was fitted' });
  says('park', undefined, {
    because: 'no washers',
    'waits-for': 'washers',
    state: 'clamped',
    where: 'bench two',
    ...file('park.jpg', 'photo'),
  });
  says('unpark', undefined, { arrived: 'a bag of washers' });
  says('remark', 'cold morning');
  says('advise', 'use more clamps', { from: 'Fenn' });
  says('depart', 'manual', {
    says: 'AN3',
    did: 'AN4',
    because: 'kit error',
    agreed: 'Gil',
    weight: 'plus 2 g',
    access: 'as before',
    steps: 'none later',
  });
  says('tool', 'W-1', { found: 'dropped' });
  says('invite', 'watch', { who: 'Hanno', how: 'by telephone' });
  says('finish', 'watch');
  engine.as('tobias');
  says('refuse', 'look', { findings: ['a burr', 'a gap'] });
  engine.as('ines');
  says('answer', 1, { remark: 'scraped' });
  says('answer', 2, { remark: 'filled' });
  engine.as('tobias');
  says('reinspect', 'look', { remark: 'more light' });
  says('release', 'look', { remark: 'fair', remote: true, shown: 'the seam', 'not-judged': 'the aft end' });
  engine.as('ines');
  says('finish', 'look');
  says('skip', 'wipe', { because: 'no cloth', before: 'first-flight' });
  says('read', 'dust', { value: 'none' });
  says('finish', 'sweep');
  says('undo', 'sweep', { because: 'dust again' });
  return engine;
};

const walks: Readonly<Record<string, () => Engine>> = {
  'from the first value to the last look': wholeWalk,
  'a job that is withdrawn': () => {
    const engine = bench();
    engine.says('start', 'rib', { each: 'right' }).taken();
    engine.says('withdraw', undefined, { because: 'the wrong side' }).taken();
    return engine;
  },
  'resumed and taken up without an interruption': () => {
    const engine = bench();
    engine.says('start', 'rib', { each: 'left' }).taken();
    engine
      .at('+5m')
      .says('resume', undefined, { rechecked: ['measure', 'pull'] })
      .taken();
    engine.at('+5m').says('unpark', undefined, { arrived: 'the post' }).taken();
    return engine;
  },
  'other pages, and a look at own work': () => {
    const pages = [
      hole('A', 'hole', '4.0 ± 0.1 mm'),
      hole('B', 'bore', '4.0 ± 0.1 mm'),
      hole('C', 'bore', '4.0 ± 0.05 mm'),
    ];
    const engine = engineWith(pages, {
      people: [
        { person: 'tobias', powers: ['builder', 'inspector'] },
        { person: 'quillon', powers: ['designer'] },
      ],
    });
    const calculated = { calculation: 'rivet-length', with: { grip: '0.125 in', diameter: '1/8 in' } };
    engine.as('tobias').says('start', 'hole').taken();
    engine.says('read', 'shank', { value: '7.9375 mm', calculated }).taken();
    engine.says('read', 'hole', { value: '4.06 mm', position: 'fore' }).taken();
    engine.says('read', 'hole', { value: '4.31 mm', position: 'aft' }).taken();
    const accepted = { 'as-what': 'use-as-is', reason: 'he looked', 'accepted-by': 'quillon', position: 'aft', n: 1 };
    engine.says('dispose', 'hole', accepted).taken();
    engine.says('finish', 'drill').taken();
    engine.at('+25h').says('release', 'look', { reason: 'nobody near' }).taken();
    engine.says('finish', 'look').taken();
    engine.says('complete').taken();
    engine.says('move', 'B', { renamed: { hole: 'bore' } }).taken();
    const left = { 'as-what': 'record-only', reason: 'flew so', revision: 'C' };
    engine.says('resolve', 'bore', left).taken();
    return engine;
  },
  'work that a rule refuses': () => {
    const engine = bench();
    engine.says('start', 'rib', { each: 'left' }).taken();
    for (const [verb, object, data] of [
      ['begin', 'measure', { done: 'in case a rule refuses it' }],
      ['read', 'dust', { value: 'some', done: 'seen early' }],
      ['begin', 'pull', { done: 'began it early' }],
      ['finish', 'turn', { done: 'turned it early' }],
      ['tighten', 'pull', { fastener: 1, torque: '23 N·m', drag: '2 N·m', done: 'pulled early' }],
      ['mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, done: 'mixed early' }],
      ['photo', 'end', { ...file('e.jpg'), done: 'shot early' }],
    ] as const)
      engine.says(verb, object, data).taken();
    engine.says('break', 'B-1', { result: 'held', done: 'broke it early' }).taken();
    return engine;
  },
};

/** Verbs and fields whose words are elsewhere, and why. */
const elsewhere: Readonly<Record<string, string>> = {
  'resolve as-what': 'the record has the decision in words',
  'dispose letter': 'the record has the SHA-256 of the letter and who wrote it',
  'temperatures column': 'how the file was read; the record has the file by its SHA-256',
  'temperatures minimum': 'the same',
  'temperatures unit': 'the same',
  'temperatures dates': 'the same',
  'temperatures offset': 'the same',
  settle: 'about what two machines entered; the log of the build prints it',
  clock: 'about the clock of the machine; the entries that it is about say that it was in doubt',
};

const textOf = (engine: Engine): string => {
  const job = engine.job();
  const last = engine.entries().at(-1);
  if (!last) throw new Error('no entries');
  const around = aroundOf(engine.state(), job, msOf(last.at));
  const document = recordOf(job, around, build, { writer: 'w', seq: engine.entries().length, hash: last.hash });
  const html = recordHtml(document);
  return html
    .slice(html.indexOf('<body'))
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll(/\s+/g, ' ');
};

/** An instant as records print it. */
const printedAs = (leaf: string): string =>
  leaf.replace(/^(\d{4}-\d\d-\d\d)T(\d\d:\d\d):00([+-]\d\d:\d\d)$/, '$1 $2 $3');

const leavesOf = (value: unknown): readonly string[] => {
  if (typeof value === 'string' || typeof value === 'number') return [`${value}`];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(leavesOf) : [];
};

const given = (verb: Verb, entry: Entry): readonly (readonly [field: string, leaves: readonly string[]])[] =>
  givenFields(verb).flatMap(({ name }) => {
    const value = (entry.data as Readonly<Record<string, unknown>>)[name];
    return value === undefined ? [] : [[`${verb} ${name}`, leavesOf(value)] as const];
  });

const seen = new Set<string>();

describe('the record of a job', () => {
  it.each(Object.entries(walks))('has the words of every entry: %s', (_name, walk) => {
    const engine = walk();
    const text = textOf(engine);
    const missing: string[] = [];
    for (const entry of engine.entries()) {
      if (!isVerb(entry.type)) continue;
      seen.add(entry.type);
      for (const [field, leaves] of given(entry.type, entry)) {
        seen.add(field);
        if (elsewhere[field] === undefined)
          for (const leaf of leaves) if (!text.includes(printedAs(leaf))) missing.push(`${field}: ${leaf}`);
      }
    }
    expect(missing).toEqual([]);
    // The ids of steps are in every record, so this one is looked for as a whole.
    if (walk === walks['resumed and taken up without an interruption'])
      expect(text).toMatch(/Coming back, no interruption was entered: .*, looked at again: measure, pull /);
  });

  it('was tried with every verb and every field', () => {
    const all = verbNames.flatMap((verb) =>
      elsewhere[verb] === undefined ? [verb, ...givenFields(verb).map(({ name }) => `${verb} ${name}`)] : [],
    );
    expect(all.filter((one) => !seen.has(one) && elsewhere[one] === undefined)).toEqual([]);
  });
});
