import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { statusOf } from '../../src/aircraft/status.ts';
import { traceOf, type Trace } from '../../src/aircraft/trace.ts';
import { engineWith, type Engine } from '../support/engine.ts';

const bond = `
procedure: bond
title: Bond
revision: A
gather: { tools: [{ tool: gauge }], materials: [{ material: glue, lot: true }] }
steps:
  - step: dry
    title: Dry fit
    proves: [line]
    readings: [{ reading: gap, unit: mm, limits: at most 0.2 mm, tool: gauge, source: invented }]
  - step: mix
    title: Mix
    mix: { material: glue, ratio: { a: 1, b: 1 }, by: weight, tolerance: 2 %, pot-life: [1 h at 20 °C], sample: true }
  - step: close
    title: Close
    permanent: true
    sets: [line]
    reaches: [bay]
    in-pot-life-of: mix
`;
const onto = `
procedure: onto
title: Build on it
revision: A
after: [bond]
steps:
  - step: rely
    title: Rely
    relies-on: [line]
    sets: [next]
  - step: cover
    title: Cover
    covers: [bay]
  - step: other
    title: Something else
`;
const further = `
procedure: further
title: Further on
revision: A
after: [onto]
steps:
  - step: use
    title: Use it
    relies-on: [next]
  - step: last
    title: Last
`;
const apart = `
procedure: apart
title: Nothing to do with it
revision: A
steps:
  - step: one
    title: One
`;

const tools = [
  { tool: 'G-1', kind: 'gauge' },
  { tool: 'G-2', kind: 'gauge' },
];
const cup = { weights: { a: '10 g', b: '10 g' }, sample: 'S-1' };

const built = (): Engine => {
  const engine = engineWith([bond, onto, further, apart], { tools });
  engine.says('start', 'bond').taken();
  engine.says('use', 'gauge', { tool: 'G-1' }).taken();
  engine.says('read', 'gap', { value: '0.1' }).taken();
  engine.says('finish', 'dry').taken();
  engine.says('lot', 'glue', { number: 'L-1' }).taken();
  engine.says('mix', 'mix', cup).taken();
  engine.says('finish', 'mix').taken();
  engine.says('finish', 'close').taken();
  engine.says('complete').taken();
  for (const [procedure, ...steps] of [
    ['apart', 'one'],
    ['onto', 'rely', 'cover', 'other'],
    ['further', 'use', 'last'],
  ] as const) {
    engine.at('+1h').says('start', procedure).taken();
    for (const step of steps) engine.says('finish', step).taken();
    engine.says('complete').taken();
  }
  return engine;
};

const trace = (engine: Engine, word: string): Trace => {
  const traced = traceOf(engine.state(), word);
  if (!traced.ok) throw new Error(traced.fault.what);
  return traced.value;
};
const bare = (id: string): string => id.replace(/-[0-9a-f]{6}$/, '');
const open = (engine: Engine): readonly string[] =>
  statusOf(engine.state(), engine.state().lastAt).jobs.flatMap((job) =>
    job.nonconformances.map((what) => `${bare(job.id)} ${what.split(' ')[0] ?? ''}`),
  );

describe('a trace', () => {
  it.each(['L-1', 'B-1', 'S-1'])(
    'of %s finds joints and values, and what was built over them, nearest first',
    (word) => {
      const found = trace(built(), word);
      expect(found.rests.filter(({ kind }) => kind === 'joint').map(({ step }) => step)).toEqual(['close']);
      expect(found.over.map(({ job, step }) => `${bare(job)} ${step}`)).toEqual([
        'onto rely',
        'onto cover',
        'onto other',
        'further use',
        'further last',
      ]);
      expect(found.nonconformances).toEqual([]);
    },
  );

  it('of a tool finds its values in every job, and the fit that they proved', () => {
    const found = trace(built(), 'G-1');
    expect(found.rests.map(({ kind, step, what }) => `${kind} ${step} ${what}`)).toEqual(['value dry gap 0.1']);
    expect(found.over[0]).toMatchObject({ step: 'close', why: 'made line permanent, which dry proved' });
    expect(trace(built(), 'G-2').rests).toEqual([]);
  });

  it('knows no other word', () => {
    const traced = traceOf(built().state(), 'B-9');
    expect(traced.ok ? '' : traced.fault).toMatchObject({ kind: 'usage', code: 'unknown-id' });
  });
});

describe('a failed sample', () => {
  it('opens a nonconformance for its joint and for what was built over it, in every job, and for nothing else', () => {
    const engine = built();
    expect(open(engine)).toEqual([]);
    engine.says('break', 'S-1', { result: 'failed' }).taken();
    expect(open(engine)).toEqual([
      'bond close',
      'further use',
      'further last',
      'onto rely',
      'onto cover',
      'onto other',
    ]);
  });
});

const fit = `
procedure: fit
title: Fit the outlet
revision: A
gather:
  tools: [{ tool: gauge }, { tool: scale }]
  materials: [{ material: glue, lot: true }, { material: sealant, lot: true }]
  parts: [{ part: A1-28-031, serial: true }, { part: A1-28-050 }]
steps:
  - { step: mix, title: Mix, mix: { material: glue, ratio: { a: 1, b: 1 }, by: weight, tolerance: 2 %, sample: true, tool: scale } }
  - step: seal
    title: Seal and fit
    materials: [sealant]
    parts: [A1-28-031, A1-28-050]
    in-pot-life-of: mix
    readings: [{ reading: gap, unit: mm, limits: at most 0.2 mm, tool: gauge, source: invented }]
    loose: [{ item: cap, count: 1, left: finger tight, because: no line yet, before: first-start }]
  - { step: cap, title: Cap it, closes: [cap] }
  - { step: look, title: Look, hold: { by: inspector, look-for: [no gap] } }
`;

const fitTools = [
  { tool: 'G-1', kind: 'gauge' },
  { tool: 'SC-1', kind: 'scale' },
];

const fitted = (serial: string, engine = engineWith([fit, bond], { tools: fitTools })): Engine => {
  engine.at('+1h').says('start', 'fit').taken();
  engine.says('use', 'scale', { tool: 'SC-1' }).taken();
  engine.says('use', 'gauge', { tool: 'G-1' }).taken();
  engine.says('lot', 'glue', { number: 'L-1' }).taken();
  engine.says('lot', 'sealant', { number: 'S-9' }).taken();
  engine.says('part', 'A1-28-031', { serial }).taken();
  engine.says('mix', 'mix', { weights: { a: '10 g', b: '10 g' }, sample: `sample-${serial}`, with: ['marit'] }).taken();
  engine.says('finish', 'mix').taken();
  engine.says('read', 'gap', { value: '0.1' }).taken();
  engine
    .says('loose', 'cap', { count: 1, left: 'finger tight', because: 'no line yet', before: 'first-start' })
    .taken();
  engine.says('finish', 'seal').taken();
  engine.says('close', 'cap', { count: 1 }).taken();
  engine.says('finish', 'cap').taken();
  engine.as('tobias').says('release', 'look').taken();
  engine.as('ines').says('finish', 'look').taken();
  return engine;
};

const steps = ({ rests }: Trace): readonly string[] => [...new Set(rests.map(({ step }) => step))];
const foundUnder = (engine: Engine, word: string): readonly string[] =>
  trace(engine, word).under.map(({ subject }) => {
    const { kind } = subject;
    if (kind === 'lot') return subject.number;
    if (kind === 'serial') return subject.serial;
    if (kind === 'batch') return subject.batch;
    if (kind === 'tool') return subject.tool;
    if (kind === 'part') return subject.part;
    if (kind === 'tag') return subject.tag;
    return kind === 'person' ? subject.person : subject.step;
  });

describe('forth and back', () => {
  it.each([
    ['S-9', ['', 'seal']],
    ['L-1', ['', 'mix', 'seal']],
    ['0417', ['seal']],
    ['A1-28-031', ['seal']],
    ['A1-28-050', ['seal']],
    ['SC-1', ['mix', 'seal']],
    ['G-1', ['seal']],
    ['T-1', ['seal']],
    ['cap', ['seal']],
    ['tobias', ['look']],
    ['marit', ['mix']],
  ])('%s is traced to its steps', (word, expected) => {
    expect(steps(trace(fitted('0417'), word))).toEqual(expected);
  });

  it('a joint is traced back to all on which it rests, and so is its value', () => {
    const under = foundUnder(fitted('0417'), 'seal');
    for (const word of ['L-1', 'S-9', 'B-1', 'SC-1', 'G-1', 'A1-28-031', 'A1-28-050', '0417', 'T-1', 'ines'])
      expect(under).toContain(word);
    expect(under).not.toContain('tobias');
    expect(foundUnder(fitted('0417'), 'gap')).toEqual(under);
  });

  it('a word that means a lot and a tool traces both', () => {
    const engine = engineWith([fit], { tools: [...fitTools, { tool: 'L-1', kind: 'gauge' }] });
    expect(trace(fitted('0417', engine), 'L-1').subjects.map(({ kind }) => kind)).toEqual(['lot', 'tool']);
  });

  it('an unknown word names the nearest', () => {
    const traced = traceOf(fitted('0417').state(), '0471');
    expect(traced.ok ? '' : traced.fault.todo).toContain("did you mean '0417'?");
  });

  it('a lot in quarantine after its use puts the joints and what was built over them in doubt', () => {
    const engine = built();
    engine.builds({ stock: [{ material: 'glue', number: 'L-1', quarantine: 'recalled', extended: [] }] });
    expect(open(engine)).toEqual([
      'bond close',
      'further use',
      'further last',
      'onto rely',
      'onto cover',
      'onto other',
    ]);
    expect(trace(engine, 'L-1').nonconformances).toHaveLength(6);
    engine.builds({ stock: [{ material: 'glue', number: 'L-1', extended: [] }] });
    expect(open(engine)).toEqual([]);
  });
});

/** One step of a random job: what it takes in hand, and which of two lots or parts is named there. */
const work = fc.record({
  sealant: fc.option(fc.constantFrom('S-1', 'S-2'), { nil: undefined }),
  part: fc.boolean(),
  mix: fc.option(fc.constantFrom('L-1', 'L-2'), { nil: undefined }),
  tool: fc.option(fc.constantFrom('G-1', 'G-2'), { nil: undefined }),
  undone: fc.boolean(),
});

describe('the law of tracing', () => {
  it('what is traced from X comes back to X, in every random job', () => {
    fc.assert(
      fc.property(fc.array(work, { minLength: 1, maxLength: 6 }), (works) => {
        const yaml = `procedure: any\ntitle: Any\nrevision: A\ngather:\n  tools: [{ tool: gauge }]\n  materials: [{ material: glue, lot: true }, { material: sealant, lot: true }]\n  parts: [{ part: P-1, quantity: 1, serial: true }]\nsteps:\n${works
          .map(({ sealant, part, mix, tool }, index) =>
            [
              `  - step: s${index}\n    title: S${index}`,
              ...(sealant === undefined ? [] : ['    materials: [sealant]']),
              ...(part ? ['    parts: [P-1]'] : []),
              ...(mix === undefined
                ? []
                : ['    mix: { material: glue, ratio: { a: 1, b: 1 }, tolerance: 2 %, source: invented }']),
              ...(tool === undefined
                ? []
                : [`    readings: [{ reading: r${index}, unit: mm, tool: gauge, source: invented }]`]),
            ].join('\n'),
          )
          .join('\n')}\n`;
        const engine = engineWith([yaml], { tools });
        engine.says('start', 'any').taken();
        /** What each step was done with, as it was said, without asking the engine. */
        const said = new Map<string, readonly string[]>();
        for (const [index, { sealant, part, mix, tool, undone }] of works.entries()) {
          const step = `s${index}`;
          const doIt = (again: string): void => {
            if (sealant !== undefined) engine.says('lot', 'sealant', { number: sealant }).taken();
            if (part) engine.says('part', 'P-1', { serial: `N-${index}${again}` }).taken();
            if (mix !== undefined) {
              engine.says('lot', 'glue', { number: mix }).taken();
              engine.says('mix', step, { weights: { a: '10 g', b: '10 g' } }).taken();
            }
            if (tool !== undefined) engine.says('read', `r${index}`, { value: '1 mm', tool }).taken();
            engine.says('finish', step).taken();
          };
          doIt('');
          if (undone) {
            engine.says('undo', step, { because: 'again' }).taken();
            doIt('b');
          }
          const numbers = part ? [`N-${index}`, ...(undone ? [`N-${index}b`] : [])] : [];
          said.set(
            step,
            [sealant, mix, tool, ...numbers].filter((word) => word !== undefined),
          );
        }
        for (const [step, words] of said) {
          const under = foundUnder(engine, step);
          for (const word of words) {
            expect(steps(trace(engine, word))).toContain(step);
            expect(under).toContain(word);
          }
        }
        for (const word of new Set([...said.values()].flat())) {
          const traced = trace(engine, word);
          for (const { job, step } of traced.rests.filter((one) => one.step !== '')) {
            expect(foundUnder(engine, `${job} ${step}`)).toContain(word);
            expect(said.get(step)).toContain(word);
          }
        }
      }),
      { numRuns: 15 },
    );
  });
});
