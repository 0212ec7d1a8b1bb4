import { describe, expect, it } from 'vitest';
import { permanentOpenedBy } from '../../src/job/ahead-said.ts';
import { isJobVerb, verbSpec, verbs } from '../../src/job/verbs.ts';
import type { Data, Entry } from '../../src/job/entry.ts';
import { stepStateOf } from '../../src/job/step-state.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, small, toCure } from './fixtures.ts';

/** Permanent steps, each begun by another kind of entry. */
const kinds = small(`
  - step: trial
    title: Try it dry
    proves: [line]
  - step: values
    title: Drill the hole
    permanent: true
    sets: [line]
    readings: [{ reading: gap, unit: mm, limits: at most 0.2 mm, source: invented }]
  - step: pull
    title: Pull the rivet
    permanent: true
    covers: [bay]
    tighten: { fasteners: 2, torque: 20 to 25 N·m }
  - step: picture
    title: Close the box
    permanent: true
    photo: [{ photo: box, show: the box }]
  - step: bare
    title: Strike the bead
    permanent: true
  - step: inspect
    title: Seal it under the inspector's eyes
    permanent: true
    sets: [seal]
    hold: { by: inspector, look-for: [seal] }
  - step: mould
    title: Set the moulds
    relies-on: [line]
`);

const shown = ({ data }: Entry): readonly string[] | undefined =>
  'ahead' in data ? (data.ahead as readonly string[]) : undefined;
const last = (engine: Engine): Entry => engine.entries().at(-1)!;

const atStep = (upTo: string): Engine => {
  const engine = engineWith([kinds]);
  engine.says('start', 'small').taken();
  engine.says('finish', 'trial').taken();
  const walk: readonly (readonly [string, () => void])[] = [
    [
      'values',
      () => {
        engine.says('read', 'gap', { value: '0.1' }).taken();
        engine.says('finish', 'values').taken();
      },
    ],
    [
      'pull',
      () => {
        for (const fastener of [1, 2]) engine.says('tighten', 'pull', { fastener, torque: '22 N·m' }).taken();
        engine.says('finish', 'pull').taken();
      },
    ],
    [
      'picture',
      () => {
        engine.says('photo', 'box', { file: 'b.jpg', 'file-sha256': '0'.repeat(64) }).taken();
        engine.says('finish', 'picture').taken();
      },
    ],
    ['bare', () => void engine.says('finish', 'bare').taken()],
  ];
  for (const [id, act] of walk) {
    if (id === upTo) return engine;
    act();
  }
  return engine;
};

describe('what is shown before a permanent step', () => {
  it('is in the value that begins it, and in no entry after', () => {
    const engine = atStep('values');
    engine.says('read', 'gap', { value: '0.3' }).taken();
    expect(shown(last(engine))).toEqual([
      'values fixes line, proved by trial',
      'line is relied on by mould, Set the moulds',
    ]);
    engine.says('read', 'gap', { value: '0.1', reason: 'filed' }).taken();
    expect(shown(last(engine))).toBeUndefined();
    engine.says('finish', 'values').taken();
    expect(shown(last(engine))).toBeUndefined();
    expect(stepStateOf(engine.job(), 'values').ahead?.shown).toHaveLength(2);
  });

  it('is in the fastener, the photo, the finish or the look that begins it', () => {
    const engine = atStep('');
    const of = (type: string, step?: string): readonly (readonly string[] | undefined)[] =>
      engine
        .entries()
        .filter(
          (entry) => entry.type === type && (step === undefined || ('step' in entry.data && entry.data.step === step)),
        )
        .map(shown);
    expect(of('tighten')).toEqual([['pull covers bay'], undefined]);
    expect(of('photo')).toEqual([['picture is permanent, fixes no feature and covers no area']]);
    expect(of('finish', 'bare')).toEqual([['bare is permanent, fixes no feature and covers no area']]);
    engine
      .as('tobias')
      .says('refuse', 'inspect', { findings: ['a gap'] })
      .taken();
    expect(shown(last(engine))).toEqual(['inspect fixes seal, not proved']);
    expect(stepStateOf(engine.job(), 'inspect').ahead).toMatchObject({ by: 'tobias' });
  });

  it('is in each entry that begins it anew: after an undo, or after it was left for later', () => {
    const engine = atStep('');
    engine.says('undo', 'bare', { because: 'struck too high' }).taken();
    engine.says('skip', 'bare', { because: 'no tool', before: 'first-flight' }).taken();
    engine.says('finish', 'bare').taken();
    expect(shown(last(engine))).toHaveLength(1);
  });

  it('is in the cup that binds it, in a further cup too, and not in a cup that is thrown away', () => {
    const engine = toCure();
    const mixed = engine.entries().filter(({ type }) => type === 'mix');
    expect(mixed.map(shown)).toEqual([['bond fixes block-line, proved by dry-fit']]);
    const glued: readonly Data[] = engine
      .entries()
      .filter(({ data }) => 'step' in data && data.step === 'bond')
      .map(({ data }) => data as Data);
    expect(glued.length).toBeGreaterThan(0);
    for (const data of glued) expect(data['ahead']).toBeUndefined();
    const thrown = engineWith([bond]);
    thrown.says('start', 'bond').taken();
    expect(permanentOpenedBy(thrown.job(), 'mix', { step: 'mix', discarded: true })).toEqual([]);
    expect(permanentOpenedBy(thrown.job(), 'mix', { step: 'mix' }).map(({ step }) => step)).toEqual(['bond']);
  });

  it('has its place in the entry of every verb that begins a step', () => {
    const engine = engineWith([kinds]);
    engine.says('start', 'small').taken();
    const job = engine.job();
    for (const verb of Object.keys(verbs).filter(isJobVerb)) {
      const data = { step: 'bare', reading: 'gap', photo: 'box', sample: 'none', fastener: 1 };
      const isKept = (verbSpec(verb).derived ?? []).some(({ name }) => name === 'ahead');
      expect(isKept, verb).toBe(permanentOpenedBy(job, verb, data).length > 0 || verb === 'break');
    }
  });

  it('binds the departure that a photo needed to the step of the photo', () => {
    const engine = engineWith([
      small(
        `
  - step: first
    title: Close the first bay
    materials: [sealant]
    photo: [{ photo: one, show: it }]
  - step: second
    title: Close the second bay
    materials: [sealant]
    photo: [{ photo: two, show: it }]
`,
        'gather: { materials: [{ material: sealant, lot: true }] }\n',
      ),
    ]);
    engine.says('start', 'small').taken();
    const picture = { file: 'b.jpg', 'file-sha256': '0'.repeat(64) };
    engine.says('photo', 'one', picture).refused('lot-missing');
    engine.says('depart', 'lot-missing', { says: 'lot', did: 'none', because: 'the label is gone' }).taken();
    engine.says('photo', 'one', picture).taken();
    engine.says('finish', 'first').taken();
    engine.says('photo', 'two', picture).refused('lot-missing');
  });
});
