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
