import { describe, expect, test } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import type { StockLine } from '../../src/aircraft/file.ts';
import { next } from '../../src/job/next.ts';
import { nonconformances } from '../../src/job/nonconformances.ts';
import { stepOf } from '../../src/procedure/plan.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, dryFitted, scale, small } from './fixtures.ts';

const gather = `gather:
  materials:
    - { material: sealant, lot: true, in-date: true }
    - { material: lacquer, lot: true }
  parts:
    - { part: A1-28-031, title: Outlet elbow, quantity: 1, serial: true }
    - { part: A1-28-040, quantity: 2, serial: true }
`;

/** An elbow that is sealed and fitted, then looked at. Nothing asks for the lacquer, and for the straps (A1-28-040). */
const elbow = small(
  `  - { step: clean, title: Clean }
  - { step: seal, title: Seal and fit, materials: [sealant], parts: [A1-28-031] }
  - { step: look, title: Look }
`,
  gather,
);

const lot = (number: string, more: Partial<StockLine> = {}): StockLine => ({
  material: 'sealant',
  number,
  extended: [],
  ...more,
});

const begun = (stock: readonly StockLine[] = []): Engine => {
  const engine = engineWith([elbow], { stock });
  engine.says('start', 'small').taken();
  engine.says('finish', 'clean').taken();
  return engine;
};

const wants = (engine: Engine, by = 'ines'): readonly string[] => {
  const job = engine.job();
  const step = stepOf(job.plan, 'seal');
  if (!step) throw new Error('no step');
  const around = aroundOf(engine.state(), job, engine.state().lastAt);
  return next(job, step, { around, ms: engine.state().lastAt, offset: 60, by, with: [] }).wants.map((want) =>
    want.want === 'lot' ? `lot ${want.material}` : want.want === 'serial' ? `serial ${want.part}` : want.want,
  );
};

const doubts = (engine: Engine, id?: string): readonly string[] => {
  const job = engine.job(id);
  return nonconformances(job, aroundOf(engine.state(), job, engine.state().lastAt)).map(
    ({ what, open }) => `${what}${open ? '' : ' (decided)'}`,
  );
};

const sealed = (stock: readonly StockLine[] = []): Engine => {
  const engine = begun(stock);
  engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-09-30' }).taken();
  engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
  engine.says('finish', 'seal').taken();
  return engine;
};

describe('a step that takes materials in hand', () => {
  test('asks for the lot before it begins, and is refused without it', () => {
    const engine = begun();
    expect(wants(engine)).toEqual(['lot sealant', 'serial A1-28-031']);
    expect(engine.says('begin', 'seal').refused('lot-missing').what).toContain('sealant');
    engine.says('lot', 'sealant', { number: 'S-9' }).taken();
    expect(engine.says('begin', 'seal').refused('lot-missing').what).toContain('no use-by');
  });

  test('is refused with a lot that is past its use-by, or in quarantine', () => {
    const engine = begun([lot('S-8', { quarantine: 'a torn seal' })]);
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('lot', 'sealant', { number: 'S-7', 'use-by': '2026-03-01' }).taken();
    expect(engine.says('finish', 'seal').refused('lot-expired').what).toContain('2026-03-01');
    engine.says('lot', 'sealant', { number: 'S-8', 'use-by': '2026-09-30' }).taken();
    expect(engine.says('finish', 'seal').refused('lot-expired').what).toContain('a torn seal');
    engine
      .says('depart', 'lot-expired', { says: 'in date', did: 'used S-8', because: 'the seal was torn by me' })
      .taken();
    engine.says('finish', 'seal').taken();
  });

  test('keeps each lot that was in hand, also one that was opened on the way', () => {
    const engine = begun();
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-09-30' }).taken();
    engine.says('begin', 'seal').taken();
    engine.says('lot', 'sealant', { number: 'S-7', 'use-by': '2026-03-01' }).taken();
    engine.says('finish', 'seal').refused('lot-expired');
    engine.says('lot', 'sealant', { number: 'S-10', 'use-by': '2026-09-30' }).taken();
    engine.says('finish', 'seal').taken();
    const { lots, taken } = engine.job();
    expect(taken.map((one) => lots.find(({ entry }) => entry === one.lot)?.number)).toEqual(['S-9', 'S-10']);
  });

  test('a lot that runs out while the step is open is not asked about again', () => {
    const engine = begun();
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-03-02' }).taken();
    engine.says('begin', 'seal').taken();
    engine.at('+72h').says('finish', 'seal').taken();
    expect(doubts(engine)).toEqual([]);
  });

  test('undone, it asks for both again, and what was in hand is set aside', () => {
    const engine = sealed();
    engine.says('undo', 'seal', { because: 'weeps' }).taken();
    expect(engine.job().taken.map((one) => one.superseded !== undefined)).toEqual([true]);
    expect(wants(engine)).toEqual(['serial A1-28-031']);
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('finish', 'seal').taken();
    expect(engine.job().taken).toHaveLength(2);
  });
});

describe('what no step asks for', () => {
  test('is asked for before completion', () => {
    const engine = sealed();
    engine.says('finish', 'look').taken();
    expect(engine.says('complete').refused('lot-missing').what).toContain('lacquer');
    engine.says('lot', 'lacquer', { number: 'L-1' }).taken();
    expect(engine.says('complete').refused('serial-missing').what).toContain('A1-28-040 has 0 of 2');
    engine.says('part', 'A1-28-040', { serial: '7' }).taken();
    engine.says('complete').refused('serial-missing');
    engine.says('part', 'A1-28-040', { serial: '8' }).taken();
    engine.says('complete').taken();
  });

  test('may be departed from by name, once each', () => {
    const engine = sealed();
    engine.says('finish', 'look').taken();
    engine.says('lot', 'lacquer', { number: 'L-1' }).taken();
    engine.says('depart', 'serial-missing', { says: 'number them', did: 'none', because: 'worn away' }).taken();
    engine.says('complete').taken();
  });
});

describe('a serial number', () => {
  test('stands once in the build', () => {
    const engine = sealed();
    engine.says('start', 'small').taken();
    const fault = engine.says('part', 'A1-28-031', { serial: ' 0417' }).wrong('serial-twice');
    expect(fault.what).toContain('seal of small-');
    engine.says('part', 'A1-28-031', { serial: '0418' }).taken();
  });

  test('is corrected with a reason, and the old one stays, struck', () => {
    const engine = sealed();
    const [{ entry } = { entry: '' }] = engine.job().fitted;
    engine.says('correct', entry, { value: '0471', reason: 'digits swapped' }).taken();
    expect(engine.job().fitted).toMatchObject([{ serial: '0471' }]);
    expect(engine.job().struck).toMatchObject([{ value: 'serial 0417', right: 'serial 0471' }]);
  });

  test('of an unknown part names the nearest', () => {
    expect(begun().says('part', 'A1-28-013', { serial: '1' }).wrong('unknown-id').todo).toContain('A1-28-031');
  });

  test('that the stock does not list is taken, and said', () => {
    const engine = begun([{ part: 'A1-28-031', serial: '0417', extended: [] }]);
    expect(engine.says('part', 'A1-28-031', { serial: '0411' }).taken().told.join()).toContain('0417');
  });

  test('of a part in quarantine refuses the step', () => {
    const engine = begun([{ part: 'A1-28-031', serial: '0417', quarantine: 'dropped', extended: [] }]);
    engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-09-30' }).taken();
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    expect(engine.says('finish', 'seal').refused('lot-expired').what).toContain('SN 0417 is in quarantine: dropped');
  });

  test('is wanted once for each instance of a step, and the rest before completion', () => {
    const engine = engineWith([
      small(
        '  - { step: fit, title: Fit, for: [a, b], parts: [A1-28-040] }\n',
        gather
          .replace(/ +- \{ material.*\n/g, '')
          .replace('  materials:\n', '')
          .replace('quantity: 2', 'quantity: 3')
          .replace(/.*A1-28-031.*\n/, ''),
      ),
    ]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'fit/a').refused('serial-missing');
    for (const serial of ['1', '2', '3']) engine.says('part', 'A1-28-040', { serial }).taken();
    expect(engine.job().fitted.map(({ step }) => step)).toEqual(['fit/a', 'fit/b', 'fit/a']);
    engine.says('finish', 'fit/a').taken();
    engine.says('finish', 'fit/b').taken();
    engine.says('complete').taken();
  });
});

describe('a lot that should not have been used', () => {
  test('in quarantine after its use puts each step in doubt, until the quarantine ends', () => {
    const engine = sealed();
    engine.at('+24h').builds({ stock: [lot('S-9', { quarantine: 'recalled by the maker' })] });
    expect(doubts(engine)).toEqual(['seal was done with sealant S-9, in quarantine since: recalled by the maker']);
    engine.builds({ stock: [lot('S-9', { 'quarantine-ended': 'another lot was meant' })] });
    expect(doubts(engine)).toEqual([]);
  });

  test('a disposition of the lot covers it, and not a later recall for another reason', () => {
    const engine = sealed();
    engine.at('+24h').builds({ stock: [lot('S-9', { quarantine: 'smells' })] });
    engine
      .says('dispose', 'S-9', { 'as-what': 'use-as-is', reason: 'test strip cured', 'accepted-by': 'quillon' })
      .taken();
    expect(doubts(engine)).toEqual(['seal was done with sealant S-9, in quarantine since: smells (decided)']);
    engine.at('+24h').builds({ stock: [lot('S-9', { quarantine: 'recalled' })] });
    expect(doubts(engine)).toEqual(['seal was done with sealant S-9, in quarantine since: recalled']);
    engine.says('dispose', 'seal', { 'as-what': 'rework', reason: 'sealed anew' }).taken();
    expect(doubts(engine)).toEqual(['seal: rework, sealed anew; not done anew yet']);
    expect(wants(engine)).toEqual(['serial A1-28-031']);
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('finish', 'seal').refused('lot-expired');
  });

  test('was departed from while it was in quarantine: nothing new is in doubt', () => {
    const engine = begun([lot('S-9', { quarantine: 'a torn seal' })]);
    engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-09-30' }).taken();
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('depart', 'lot-expired', { says: 'in date', did: 'used it', because: 'torn by me' }).taken();
    engine.at('+1h').says('finish', 'seal').taken();
    expect(doubts(engine)).toEqual([]);
  });

  test('whose use-by is put right to a day before its use is in doubt from then on', () => {
    const engine = sealed([lot('S-9', { 'use-by': '2026-09-30' })]);
    expect(doubts(engine)).toEqual([]);
    engine.builds({ stock: [lot('S-9', { 'use-by': '2026-02-28' })] });
    expect(doubts(engine)).toEqual(['seal was done with sealant S-9, good only until 2026-02-28']);
  });

  test('a part in quarantine after it went in is in doubt', () => {
    const engine = sealed();
    engine.at('+24h').builds({ stock: [{ part: 'A1-28-031', serial: '0417', quarantine: 'recalled', extended: [] }] });
    expect(doubts(engine)).toEqual(['seal has A1-28-031 SN 0417, in quarantine since: recalled']);
    engine.says('dispose', 'seal', { 'as-what': 'use-as-is', reason: 'r', 'accepted-by': 'quillon' }).taken();
    expect(doubts(engine)).toEqual(['seal has A1-28-031 SN 0417, in quarantine since: recalled (decided)']);
  });

  test('of a mix puts every joint of its batches in doubt', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', { number: 'L-204', 'use-by': '2027-01-31' }).taken();
    engine.says('shop', undefined, { temperature: '20 °C', surface: '20 °C', humidity: '50 %' }).taken();
    engine
      .says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, sample: 'S-1', with: ['marit'] })
      .taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'bond').taken();
    engine
      .at('+24h')
      .builds({ stock: [{ material: 'adhesive', number: 'L-204', quarantine: 'recalled', extended: [] }] });
    expect(doubts(engine)).toEqual(['bond was made with B-1, of adhesive L-204, in quarantine since: recalled']);
  });
});

describe('the label against the stock', () => {
  const stock = [lot('S-9', { 'use-by': '2026-09-30', made: '2025-09-30' })];

  test('a later day is called wrongly, and the way on is named', () => {
    const { what, todo } = begun(stock).says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-10-30' }).wrong();
    expect(what).toContain('2026-09-30');
    expect(todo).toContain('dryfit stock extend sealant S-9 to=2026-10-30');
    begun(stock).says('lot', 'sealant', { number: 'S-9', made: '2025-10-01' }).wrong('made-later');
    begun(stock).says('lot', 'sealant', { number: 'S-9', made: '2025-10-01', 'use-by': '2025-09-01' }).wrong();
  });

  test('an earlier day counts, and the entry says so', () => {
    const engine = begun(stock);
    const taken = engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-03-01', made: '2025-09-01' }).taken();
    expect(taken.data).toMatchObject({ 'stock-use-by': '2026-09-30', 'stock-made': '2025-09-30' });
    expect(taken.told.join()).toContain('the earlier day counts: 2026-03-01');
    engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
    engine.says('finish', 'seal').refused('lot-expired');
  });

  test('the day of an extension is taken, and its first label too', () => {
    const extended = [lot('S-9', { 'use-by': '2026-02-28', extended: [{ to: '2026-06-30', because: 'letter' }] })];
    begun(extended).says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-07-01' }).wrong('use-by-later');
    for (const day of ['2026-02-28', '2026-06-30']) {
      const engine = begun(extended);
      engine.says('lot', 'sealant', { number: 'S-9', 'use-by': day }).taken();
      engine.says('part', 'A1-28-031', { serial: '0417' }).taken();
      engine.says('finish', 'seal').taken();
    }
  });
});

describe('the scale of a mix', () => {
  const weighed = bond.replace('      sample: true', '      sample: true\n      tool: scale');
  const ready = (tool = scale): Engine => {
    const engine = engineWith([weighed], { tools: tool });
    for (const [verb, object, data] of [
      ['start', 'bond', {}],
      ['read', 'gap', { value: '0.15' }],
      ['read', 'width', { value: '12.5' }],
      ['finish', 'measure', {}],
      ['finish', 'dry-fit', {}],
      ['lot', 'adhesive', { number: 'L-204', 'use-by': '2027-01-31' }],
    ] as const)
      engine.says(verb, object, data).taken();
    engine.says('shop', undefined, { temperature: '20 °C', surface: '20 °C', humidity: '50 %' }).taken();
    return engine;
  };
  const cup = { weights: { resin: '100 g', hardener: '44 g' }, sample: 'S-1', with: ['marit'] };

  test('is asked for as any tool in date, and found wrong later puts its batches in doubt', () => {
    const engine = ready();
    engine.says('mix', 'mix', cup).refused('tool-out-of-date');
    engine.says('mix', 'mix', { ...cup, tool: 'SC-2' }).wrong('unknown-id');
    engine.says('use', 'scale', { tool: 'SC-1' }).taken();
    expect(engine.says('mix', 'mix', cup).taken().data).toMatchObject({ tool: 'SC-1' });
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'bond').taken();
    engine.at('+24h').says('tool', 'SC-1', { found: 'wrong' }).taken();
    expect(doubts(engine)).toEqual(['bond was made with B-1, weighed on SC-1, later found wrong']);
    engine.says('dispose', 'B-1', { 'as-what': 'use-as-is', reason: 'r', 'accepted-by': 'quillon' }).taken();
    expect(doubts(engine)).toEqual(['bond was made with B-1, weighed on SC-1, later found wrong (decided)']);
  });

  test('may be named with the mix', () => {
    expect(
      ready()
        .says('mix', 'mix', { ...cup, tool: 'SC-1' })
        .taken().data,
    ).toMatchObject({ tool: 'SC-1' });
  });

  test('is refused out of date', () => {
    const engine = ready([{ tool: 'SC-1', kind: 'scale', 'in-date-until': '2026-02-28' }]);
    engine.says('mix', 'mix', { ...cup, tool: 'SC-1' }).refused('tool-out-of-date');
  });
});

describe('the same lot as in the earlier procedure', () => {
  const coupon = small(
    '  - { step: try, title: Try it, materials: [sealant] }\n',
    'gather: { materials: [{ material: sealant, lot: true }] }\n',
  ).replace('procedure: small', 'procedure: coupon');
  const after = small(
    '  - { step: seal, title: Seal, materials: [sealant] }\n',
    'after: [{ procedure: coupon, same-lot: true }]\ngather: { materials: [{ material: sealant, lot: true }] }\n',
  );

  test('is wanted of a material that a step takes in hand, too', () => {
    const engine = engineWith([coupon, after]);
    engine.says('start', 'coupon').taken();
    engine.says('lot', 'sealant', { number: 'S-8' }).taken();
    engine.says('lot', 'sealant', { number: 'S-9' }).taken();
    engine.says('finish', 'try').taken();
    engine.says('complete').taken();
    engine.says('start', 'small').taken();
    engine.says('lot', 'sealant', { number: 'S-8' }).taken();
    expect(engine.says('finish', 'seal').refused('earlier-procedure').what).toContain('(S-9)');
    engine.says('lot', 'sealant', { number: 'S-9' }).taken();
    engine.says('finish', 'seal').taken();
  });
});

describe('a page that names a material only now', () => {
  const head = 'gather: { materials: [{ material: sealant, lot: true }] }\n';
  const old = small('  - { step: seal, title: Seal }\n  - { step: next, title: Next, materials: [sealant] }\n', head);
  const now = small(
    '  - { step: seal, title: Seal, materials: [sealant] }\n  - { step: next, title: Next, materials: [sealant] }\n',
    head,
  ).replace('revision: A', 'revision: B');

  test('asks for the lot of a finished step before completion, and binds it to that step', () => {
    const engine = engineWith([old, now]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'seal').taken();
    engine.says('lot', 'sealant', { number: 'S-9' }).taken();
    engine.says('finish', 'next').taken();
    engine.says('move', 'B').taken();
    engine.says('complete').refused('lot-missing');
    engine.says('lot', 'sealant', { number: 'S-8' }).taken();
    engine.says('complete').taken();
    const { lots, taken } = engine.job();
    expect(taken.map(({ step, lot: of }) => `${step} ${lots.find(({ entry }) => entry === of)?.number ?? ''}`)).toEqual(
      ['next S-9', 'seal S-8'],
    );
  });
});
