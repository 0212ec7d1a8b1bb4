import { describe, expect, it } from 'vitest';
import { gatePassedAt } from '../../src/aircraft/gates/passed.ts';
import { sheetNow } from '../../src/aircraft/gate-now.ts';
import { engineWith, type Engine } from '../support/engine.ts';

const page = (id: string, body: string, head = ''): string => `procedure: ${id}
title: Work on ${id}
revision: A
${head}steps:
${body}`;

const cover = page(
  'cover-wing',
  '  - { step: close, title: Close the wing, gate: hull-close }\n',
  'each: [left, right]\n',
);

describe('a gate is passed', () => {
  it('when every planned side has passed it, at the latest of them', () => {
    const engine = engineWith([cover], { pages: true });
    engine.says('start', 'cover-wing', { each: 'left' }).taken();
    engine.says('finish', 'close').taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBeUndefined();
    engine.at('+2h').says('start', 'cover-wing', { each: 'right' }).taken();
    engine.says('finish', 'close').taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBe('2026-03-02T11:00:00+01:00');
    engine.at('+1h').says('undo', 'close', { because: 'a tool is inside' }).taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBeUndefined();
  });

  it('by the sides that the plan of build.yaml names, and by those done before dryfit', () => {
    const engine = engineWith([cover], {
      pages: true,
      plan: [{ procedure: 'cover-wing', each: ['left'] }],
      beforeDryfit: [{ procedure: 'cover-wing', each: 'right', shown: 'paper log', date: '2025-12-01' }],
    });
    engine.says('start', 'cover-wing', { each: 'left' }).taken();
    engine.says('finish', 'close').taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBe('2026-03-02T09:00:00+01:00');
  });

  it('never, where nothing passes it', () => {
    expect(gatePassedAt(engineWith([cover], { pages: true }).state(), 'first-start')).toBeUndefined();
    expect(gatePassedAt(engineWith([cover]).state(), 'hull-close')).toBeUndefined();
  });
});

const rib = page(
  'rib',
  `  - { step: fit, title: Fit the rib, readings: [{ reading: gap, ask: Gap, unit: mm, limits: at most 0.2 mm }] }
  - { step: shoot, title: Keep a photo, photo: [{ photo: end, show: the free end }] }
  - { step: look, title: Look at the rib, hold: { by: inspector, look-for: [gap even] } }
`,
);
const check = page(
  'rib-check',
  '  - { step: check, title: Check the ribs }\n',
  'answers: { bulletin: B-12, of: rib }\n',
);
const hull = page('hull', '  - { step: close, title: Close the hull, gate: hull-close }\n');
const fly = page('fly', '  - { step: go, title: Release to fly, gate: first-flight }\n');
const file = { before: 'hull-close' };

/** Kinds and words of what is open at a gate now. */
const openAt = (engine: Engine, gate: string): readonly string[] =>
  sheetNow(engine.state(), gate, engine.state().lastAt).open.map(({ kind, what }) => `${kind}: ${what}`);

describe('the gate sheet', () => {
  it('wants what is planned before the gate, and only that', () => {
    const engine = engineWith([rib, hull, fly], {
      pages: true,
      plan: [{ procedure: 'rib', ...file }, { procedure: 'hull' }],
    });
    expect(openAt(engine, 'hull-close')).toEqual(['not-begun: rib']);
    expect(openAt(engine, 'first-flight')).toEqual(['not-begun: rib', 'not-begun: hull']);
    engine.says('start', 'rib').taken();
    expect(openAt(engine, 'hull-close')).toEqual([
      'unfinished: Work on rib: 1 of 3: Fit the rib',
      'hold: Look at the rib, not released',
      'photo: the free end, not taken',
    ]);
  });

  it('without a plan wants every page of the folder before the last gate, and none before an earlier one', () => {
    const engine = engineWith([rib, hull, fly], { pages: true });
    expect(openAt(engine, 'hull-close')).toEqual([]);
    expect(openAt(engine, 'first-flight')).toEqual(['not-begun: rib', 'not-begun: hull']);
  });

  it('takes what was done before dryfit for complete', () => {
    const done = { shown: 'paper log', date: '2025-12-01' };
    const engine = engineWith([rib, fly], { pages: true, beforeDryfit: [{ procedure: 'rib', ...done }] });
    expect(openAt(engine, 'first-flight')).toEqual([]);
  });

  it('wants nonconformances, findings and loose items of every job, planned or not', () => {
    const engine = engineWith([rib, hull], { pages: true, plan: [] });
    engine.says('start', 'rib').taken();
    engine.says('read', 'gap', { value: '0.3 mm' }).taken();
    engine
      .says('loose', 'guard', { count: 1, left: 'in the bay', because: 'for access', before: 'hull-close' })
      .taken();
    engine
      .says('loose', 'cap', { count: 2, left: 'finger tight', because: 'no seal yet', before: 'first-start' })
      .taken();
    expect(openAt(engine, 'hull-close')).toEqual([
      expect.stringMatching(/^nonconformance: .*0\.3 mm/) as string,
      'loose: T-1 guard: 1 in the bay',
    ]);
    expect(openAt(engine, 'first-start')).toContain('loose: T-2 cap: 2 finger tight');
  });

  it('wants a tool that was left out counted back', () => {
    const engine = engineWith([rib], { tools: [{ tool: 'M-1', kind: 'mirror' }] });
    engine.says('start', 'rib').taken();
    engine
      .says('loose', 'mirror', { count: 1, left: 'behind the frame', because: 'in use', before: 'hull-close' })
      .taken();
    expect(openAt(engine, 'hull-close')).toEqual(['tool: T-1 mirror: 1 behind the frame, not counted back']);
    engine.says('close', 'T-1', { count: 1 }).taken();
    expect(openAt(engine, 'hull-close')).toEqual([]);
  });

  it('keeps a loose item whose gate was struck out of build.yaml for the last gate', () => {
    const engine = engineWith([rib], { gates: ['hull-close', 'first-flight'] });
    engine.says('start', 'rib').taken();
    engine.says('loose', 'cap', { count: 1, left: 'off', because: 'access', before: 'hull-close' }).taken();
    const { state } = engine;
    const without = { ...state(), file: { ...state().file, gates: ['first-flight'] } };
    expect(sheetNow(without, 'first-flight', without.lastAt).open.map(({ key }) => key)).toEqual(['T-1']);
  });

  it('keeps a bulletin open until the job that answers it is complete', () => {
    const engine = engineWith([rib, fly, check], { pages: true, plan: [{ procedure: 'rib', ...file }] });
    engine.says('start', 'rib').taken();
    const rows = (): readonly string[] => openAt(engine, 'hull-close').filter((one) => one.startsWith('bulletin'));
    expect(rows()).toEqual(['bulletin: B-12 not decided']);
    engine.says('resolve', 'B-12', { 'as-what': 'comply' }).taken();
    expect(rows()).toEqual(['bulletin: B-12 to be carried out: complete rib-check']);
    engine.says('start', 'rib-check').taken();
    engine.says('finish', 'check').taken();
    expect(rows()).toHaveLength(1);
    engine.says('complete').taken();
    expect(rows()).toEqual([]);
  });

  it('does not want the page of a bulletin that does not apply', () => {
    const engine = engineWith([rib, fly, check], { pages: true });
    engine.says('start', 'rib').taken();
    engine.says('resolve', 'B-12', { 'as-what': 'not-applicable', reason: 'other batch of ribs' }).taken();
    expect(openAt(engine, 'first-flight').filter((one) => /rib-check|B-12/.test(one))).toEqual([]);
  });
});

describe('the gate sheet, for what is left out of it', () => {
  const keysAt = (engine: Engine, gate: string): readonly string[] =>
    openAt(engine, gate).map((one) => one.replace(/:.*/, ''));

  it('given a plan before a gate that was struck out of build.yaml, when the last gate is near, then it still wants the page', () => {
    const engine = engineWith([rib], { pages: true, plan: [{ procedure: 'rib', ...file }] });
    const { state } = engine;
    const without = { ...state(), file: { ...state().file, gates: ['first-start', 'first-flight'] } };
    expect(sheetNow(without, 'first-flight', without.lastAt).open.map(({ key }) => key)).toEqual(['not-begun rib']);
    expect(sheetNow(without, 'first-start', without.lastAt).open).toEqual([]);
  });

  it('given a job that passes the gate by an older page, when the folder has a page that does not, then the job is not wanted there', () => {
    const now = page('hull', '  - { step: close, title: Close the hull }\n').replace('revision: A', 'revision: B');
    const engine = engineWith([now, hull], { pages: true, plan: [{ procedure: 'hull', ...file }] });
    expect(keysAt(engine, 'hull-close')).toEqual(['not-begun']);
    const [, old = ''] = engine.state().pages.map(({ sha256 }) => sha256);
    engine.says('start', 'hull', { sha256: old }).taken();
    expect(keysAt(engine, 'hull-close')).toEqual([]);
  });

  it('given a photo and a hold that are left for later, when the sheet is drawn, then their tag is on it and they are not', () => {
    const engine = engineWith([rib], { pages: true, plan: [{ procedure: 'rib', ...file }] });
    engine.says('start', 'rib').taken();
    engine.says('read', 'gap', { value: '0.1 mm' }).taken();
    engine.says('finish', 'fit').taken();
    expect(keysAt(engine, 'hull-close')).toEqual(['unfinished', 'hold', 'photo']);
    engine.says('skip', 'shoot', { because: 'no camera', before: 'hull-close' }).taken();
    expect(keysAt(engine, 'hull-close')).toEqual(['unfinished', 'hold', 'skipped']);
  });

  it('given batches with a sample, when the sheet is drawn, then it wants those that are in use and not broken', () => {
    const glue = page(
      'glue',
      '  - { step: mix, title: Mix, mix: { material: glue, ratio: { resin: 2, hardener: 1 }, tolerance: 2 %, sample: true } }\n  - { step: lay, title: Lay it, in-pot-life-of: mix }\n',
      'gather: { materials: [{ material: glue }] }\n',
    );
    const engine = engineWith([glue]);
    const cup = (sample: string): void =>
      void engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '50 g' }, sample }).taken();
    engine.says('start', 'glue').taken();
    cup('S-1');
    cup('S-2');
    expect(openAt(engine, 'hull-close')).toEqual(['sample: S-1, not broken yet', 'sample: S-2, not broken yet']);
    engine.says('discard', 'B-1', { because: 'lumps' }).taken();
    expect(openAt(engine, 'hull-close')).toEqual(['sample: S-2, not broken yet']);
    engine.says('undo', 'mix', { because: 'ground off' }).taken();
    expect(openAt(engine, 'hull-close')).toEqual([]);
    cup('S-3');
    expect(openAt(engine, 'hull-close')).toEqual(['sample: S-3, not broken yet']);
    engine.says('break', 'S-3', { result: 'held' }).taken();
    expect(openAt(engine, 'hull-close')).toEqual([]);
  });

  it('given a gate that was passed before an earlier one, when something is left before it, then the next one after it is named', () => {
    const run = page('run', '  - { step: go, title: Run it, gate: first-start }\n');
    const engine = engineWith([run, rib]);
    engine.says('start', 'run').taken();
    engine.says('finish', 'go').taken();
    engine.says('start', 'rib').taken();
    const left = { count: 1, left: 'off', because: 'access', before: 'first-start' };
    expect(engine.says('loose', 'cap', left).refused('gate-passed').todo).toBe(
      'name the next gate: before=first-flight',
    );
  });
});

describe('a departure at a gate', () => {
  const begun = (): Engine => {
    const engine = engineWith([hull, rib], { gates: ['hull-close', 'first-flight'] });
    engine.says('start', 'hull').taken();
    engine.says('loose', 'cap', { count: 1, left: 'off', because: 'access', before: 'hull-close' }).taken();
    return engine;
  };
  const depart = { says: 'all closed', did: 'one left', because: 'no seal before Friday' };

  it('excepts what is open at that instant, each by name, and the finish carries the sheet', () => {
    const engine = begun();
    engine.says('finish', 'close').refused('gate-open');
    const { told } = engine.says('depart', 'gate-open', depart).taken();
    expect(told).toEqual([expect.stringContaining('excepted at hull-close: loose item: T-1 cap: 1 off') as string]);
    const { data } = engine.says('finish', 'close').taken();
    expect(data).toMatchObject({
      'gate-sheet': {
        gate: 'hull-close',
        open: [],
        excepted: [{ kind: 'loose', key: 'T-1', because: depart.because, by: 'ines' }],
      },
    });
    expect(engine.job().steps['close']?.finished?.sheet?.excepted).toHaveLength(1);
  });

  it('does not except what opens later', () => {
    const engine = begun();
    engine.says('depart', 'gate-open', depart).taken();
    engine.says('loose', 'plug', { count: 1, left: 'out', because: 'drain', before: 'hull-close' }).taken();
    expect(engine.says('finish', 'close').refused('gate-open').what).toMatch(/1 open: loose item: T-2 plug/);
    engine.says('depart', 'gate-open', depart).taken();
    engine.says('finish', 'close').taken();
  });

  it('excepts at that gate and at no other', () => {
    const engine = begun();
    engine.says('depart', 'gate-open', depart).taken();
    expect(openAt(engine, 'hull-close')).toEqual([]);
    expect(openAt(engine, 'first-flight')).toEqual(['loose: T-1 cap: 1 off']);
  });

  it('given a strict page, when another job has excepted an item at the gate, then the strict one wants it closed all the same', () => {
    const strict = page('strict-hull', '  - { step: close, title: Close it, gate: hull-close }\n', 'strict: true\n');
    const engine = engineWith([hull, rib, strict], { gates: ['hull-close', 'first-flight'] });
    engine.says('start', 'hull').taken();
    engine.says('loose', 'cap', { count: 1, left: 'off', because: 'access', before: 'hull-close' }).taken();
    engine.says('depart', 'gate-open', depart).taken();
    engine.says('start', 'strict-hull').taken();
    engine.says('depart', 'gate-open', depart).refused('strict');
    expect(engine.says('finish', 'close').refused('gate-open').what).toContain('1 open: loose item: T-1 cap: 1 off');
    engine.says('close', 'T-1', { count: 1 }).taken();
    engine.says('finish', 'close').taken();
  });

  it('names a few of many, and lists them all', () => {
    const engine = begun();
    for (let n = 0; n < 40; n += 1)
      engine.says('loose', 'screw', { count: 1, left: `at ${n}`, because: 'access', before: 'hull-close' }).taken();
    const fault = engine.says('finish', 'close').refused('gate-open');
    expect(fault.what).toMatch(/has 41 open, each listed/);
    expect(fault.items).toHaveLength(41);
  });
});
