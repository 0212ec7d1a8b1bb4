import { describe, expect, it } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { cureNow } from '../../src/job/cure.ts';
import { potLifeNow } from '../../src/job/potlife.ts';
import { currentStep } from '../../src/job/where.ts';
import { parseInstant } from '../../src/quantity/time.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, dryFitted, good, lot, mixed, scale, small, toCure } from './fixtures.ts';

/* Rules of the design, each with an example of its own: given, when, then. Each was seen to fail once with its rule changed by hand. */

const two = [
  { person: 'ines', powers: ['builder'] },
  { person: 'bo', powers: ['builder'] },
  { person: 'tobias', powers: ['inspector'] },
  { person: 'ada', powers: ['inspector'] },
] as const;

const looked = small(`
  - step: one
    title: One
    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }]
  - step: look
    title: Look
    hold: { by: inspector, look-for: [the gap] }
`);

const toLook = (): Engine => {
  const engine = engineWith([looked], { people: two });
  engine.says('start', 'small').taken();
  engine.says('read', 'gap', { value: '0.5' }).taken();
  engine.says('finish', 'one').taken();
  return engine;
};

describe('who performed what a hold inspects', () => {
  it('given a finished step, when an inspector corrects a value of it, then that inspector cannot release it, and another can', () => {
    const engine = toLook();
    engine
      .as('tobias')
      .says('correct', 'gap', { value: '0.6', reason: 'the scale was read from the wrong side' })
      .taken();
    engine.says('release', 'look').refused('own-work');
    engine.as('ada').says('release', 'look').taken();
  });

  it('given a finding, when an inspector answers it, then that inspector cannot release it, and another can', () => {
    const engine = toLook();
    engine
      .as('tobias')
      .says('refuse', 'look', { findings: ['glue on the face'] })
      .taken();
    engine.says('answer', 1, { remark: 'wiped it off' }).taken();
    engine.says('release', 'look').refused('own-work');
    engine.as('ada').says('release', 'look').taken();
  });

  it('given a hold released, when another inspector refuses it before it is finished, then it is closed again', () => {
    const engine = toLook();
    engine.as('tobias').says('release', 'look').taken();
    engine
      .as('ada')
      .says('refuse', 'look', { findings: ['not even'] })
      .taken();
    engine.as('ines').says('finish', 'look').refused('hold-closed');
    engine.says('answer', 1, { remark: 'planed it' }).taken();
    engine.says('finish', 'look').refused('hold-closed');
    engine.as('ada').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
  });
});

const cureAt = (engine: Engine, at: string) => {
  const job = engine.job();
  const step = job.plan.steps.find((one) => one.step === 'cure');
  const read = parseInstant(at);
  if (!step || !read.ok) throw new Error(at);
  return cureNow(job, step, aroundOf(engine.state(), job, read.value.ms), read.value.ms)?.stages[0];
};

describe('two temperatures at one instant', () => {
  for (const [first, second] of [
    ['20 °C', '17 °C'],
    ['17 °C', '20 °C'],
  ] as const)
    it(`given ${first} and then ${second} at the same instant, when a cure with a floor of 18 °C is counted, then the colder one stops it`, () => {
      const engine = toCure();
      engine.says('temperature', '20 °C').taken();
      engine.at('+10h').says('temperature', first).taken();
      engine.says('temperature', second).taken();
      engine.at('+9h').says('temperature', '20 °C').taken();
      expect(cureAt(engine, '2026-03-03T07:00:00+01:00')).toMatchObject({ reached: false });
      engine.says('finish', 'cure').refused('cure-not-reached');
    });
});

const potLife = (engine: Engine, at: string) => {
  const job = jobOf(engine.state(), engine.job().id);
  const read = parseInstant(at);
  if (!job || !read.ok) throw new Error(at);
  return potLifeNow(job, ['mix'], aroundOf(engine.state(), job, read.value.ms), read.value.ms);
};

describe('pot lives', () => {
  it('given two batches, when the second is mixed later, then the pot life of the first still rules', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('temperature', '20 °C').taken();
    engine.says('mix', 'mix', { ...good, sample: 'S-1' }).taken();
    engine
      .at('+15min')
      .says('mix', 'mix', { ...good, sample: 'S-2' })
      .taken();
    engine.says('finish', 'mix').taken();
    expect(potLife(engine, '2026-03-02T09:15:00+01:00')).toMatchObject({
      batch: 'B-1',
      ends: Date.parse('2026-03-02T09:35:00+01:00'),
    });
    engine.at('2026-03-02T09:40:00+01:00').says('finish', 'bond').refused('pot-life-over');
  });

  it('given a hot shop an hour before, when a cooler temperature is typed with the mix, then the one before still counts', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('temperature', '28 °C').taken();
    engine
      .at('+1h')
      .says('mix', 'mix', { ...good, temperature: '20 °C' })
      .taken();
    expect(potLife(engine, '2026-03-02T10:00:00+01:00')?.ends).toBe(Date.parse('2026-03-02T10:20:00+01:00'));
  });

  it('given a scale that shows nothing, when 0 g of a part is entered, then it is called wrongly and nothing is mixed', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', { ...good, weights: { resin: '100 g', hardener: '0 g' } }).wrong('value-unreadable');
    engine.says('mix', 'mix', { ...good, weights: { resin: '0 g', hardener: '0 g' } }).wrong('value-unreadable');
    expect(engine.job().batches).toEqual([]);
  });
});

const covered = small(`
  - step: leave
    title: Leave the cap
    loose: [{ item: cap, count: 1, left: finger tight, because: the cable comes, before: hull-close }]
  - step: shut
    title: Shut it
    closes: [cap]
    photo: [{ photo: bay, show: the bay }]
`);

describe('undo', () => {
  it('given a photo and a closing, when their step is undone, then both are asked for again', () => {
    const engine = engineWith([covered]);
    engine.says('start', 'small').taken();
    engine
      .says('loose', 'cap', { count: 1, left: 'finger tight', because: 'the cable comes', before: 'hull-close' })
      .taken();
    engine.says('finish', 'leave').taken();
    engine.says('close', 'cap', { count: 1 }).taken();
    engine.says('photo', 'bay', { file: 'a.jpg', 'file-sha256': 'f'.repeat(64) }).taken();
    engine.says('finish', 'shut').taken();
    engine.says('undo', 'shut', { because: 'a tool is in there' }).taken();
    expect(currentStep(engine.job())?.step).toBe('shut');
    expect(engine.says('finish', 'shut').refused('part-missing').what).toMatch(/cap closed, counted.*bay/);
    engine.says('close', 'cap', { count: 1 }).taken();
    engine.says('finish', 'shut').refused('part-missing');
    engine.says('photo', 'bay', { file: 'b.jpg', 'file-sha256': 'e'.repeat(64) }).taken();
    engine.says('finish', 'shut').taken();
  });
});

describe('the same lot as before', () => {
  const coupons = `
procedure: coupons
title: Break coupons
revision: A
gather: { materials: [{ material: adhesive, lot: true }] }
steps:
  - { step: try, title: Try the glue, mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, tolerance: 2 % } }
`;
  const same = bond.replace('gather:', 'after: [{ procedure: coupons, same-lot: true }]\ngather:');

  it('given coupons of L-204, when the bond is mixed from another lot, then it is refused, and from L-204 taken', () => {
    const engine = engineWith([coupons, same], { tools: scale });
    engine.says('start', 'coupons').taken();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'try', { weights: { resin: '100 g', hardener: '44 g' } }).taken();
    engine.says('finish', 'try').taken();
    engine.says('complete').taken();
    dryFitted(same, engine);
    engine.says('lot', 'adhesive', { ...lot, number: 'L-999' }).taken();
    engine.says('mix', 'mix', good).refused('earlier-procedure');
    engine.says('lot', 'adhesive', lot).taken();
    mixed(engine);
  });
});

describe('before the hand moves', () => {
  it('given a permanent step for two, when one person begins it alone, then it is refused', () => {
    const engine = engineWith(
      [small('  - { step: drill, title: Drill it, permanent: true, people: 2, sets: [hole] }\n')],
      { beforeDryfit: [{ feature: 'hole', shown: 'a trial', date: '2026-01-01' }] },
    );
    engine.says('start', 'small').taken();
    engine.says('begin', 'drill').refused('helper-missing');
    engine.says('begin', 'drill', { with: 'bo' }).taken();
  });

  it('given a good caliper in use, when a value is read with one out of date, then it is refused', () => {
    const page = small(
      '  - step: one\n    title: One\n    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, tool: caliper, source: invented }]\n',
      'gather: { tools: [{ tool: caliper, in-date: true }] }\n',
    );
    const tools = [
      { tool: 'CA-1', kind: 'caliper', 'in-date-until': '2027-01-31' },
      { tool: 'CA-2', kind: 'caliper', 'in-date-until': '2025-01-31' },
    ];
    const engine = engineWith([page], { tools });
    engine.says('start', 'small').taken();
    engine.says('use', 'caliper', { tool: 'CA-1' }).taken();
    engine.says('read', 'gap', { value: '0.5', tool: 'CA-2' }).refused('tool-out-of-date');
    engine.says('read', 'gap', { value: '0.5' }).taken();
  });

  it('given two coats with a longest interval, when the day after the first is over, then the next step is too late', () => {
    const page = small(
      '  - { step: coat, title: Coat it, for: [one, two] }\n  - { step: cover, title: Cover it, no-later-than: { after: coat, time: 24 h } }\n',
    );
    const engine = engineWith([page]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'coat/one').taken();
    engine.at('+10h').says('finish', 'coat/two').taken();
    engine.at('+15h').says('begin', 'cover').refused('too-late');
  });

  it('given a lot that no step asks for, when it runs out after it was named, then the job is completed all the same', () => {
    const page = small(
      '  - { step: one, title: One }\n',
      'gather: { materials: [{ material: oil, lot: true, in-date: true }] }\n',
    );
    const engine = engineWith([page]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'one').taken();
    engine.says('complete').refused('lot-missing');
    engine.says('lot', 'oil', { number: 'O-1', 'use-by': '2026-03-10' }).taken();
    engine.at('2026-04-01T09:00:00+01:00').says('complete').taken();
  });
});
