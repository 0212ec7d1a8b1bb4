import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { msOf } from '../../src/job/cure.ts';
import { nonconformances } from '../../src/job/nonconformances.ts';
import { wantedOf } from '../../src/job/parts/all.ts';
import { currentStep } from '../../src/job/where.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, dryFitted, small } from './fixtures.ts';

const lot = { number: 'L-204', 'use-by': '2027-01-31' };
const good = { weights: { resin: '100 g', hardener: '44 g' }, with: 'marit', sample: 'S-1' };
const letter = {
  'as-what': 'use-as-is',
  reason: 'looked at',
  author: 'Dagny Roth',
  letter: 'l.pdf',
  'letter-sha256': 'a'.repeat(64),
};

const openOf = (engine: Engine): readonly string[] => {
  const job = engine.job();
  const now = msOf(engine.entries().at(-1)?.at ?? '');
  return nonconformances(job, aroundOf(engine.state(), job, now))
    .filter(({ open }) => open)
    .map(({ what }) => what);
};

const wantedIn = (engine: Engine, step: string): readonly string[] => {
  const found = engine.job().plan.steps.find((one) => one.step === step);
  return found ? wantedOf(engine.job(), found).map(({ what }) => what) : [];
};

const toCure = (yaml = bond): Engine => {
  const engine = dryFitted(yaml);
  engine.says('lot', 'adhesive', lot).taken();
  engine.says('mix', 'mix', good).taken();
  engine.says('finish', 'mix').taken();
  engine.says('temperature', '20 °C').taken();
  engine.at('+30min').says('finish', 'bond').taken();
  return engine;
};

const bolts = small(`
  - step: clamp
    title: Clamp it
    tighten: { fasteners: 4, order: [1, 3, 2, 4], torque: 20 to 25 N·m, mark: true }
  - { step: close, title: Close it }
`);

const bolted = (yaml = bolts): Engine => {
  const engine = engineWith([yaml]);
  engine.says('start', 'small').taken();
  return engine;
};

const pull = (engine: Engine, fastener: number, torque: string, more = {}) =>
  engine.says('tighten', 'clamp', { fastener, torque, mark: 'true', ...more });

describe('a sample broken too early', () => {
  it('is entered, counts for nothing, and is broken again after a rework', () => {
    const engine = toCure();
    const refused = engine.at('+2h').says('break', 'S-1', { result: 'held' }).refused('cure-not-reached');
    expect(refused).toMatchObject({ mayBeDone: true });
    const taken = engine.says('break', 'S-1', { result: 'held', done: 'curious' }).taken();
    expect(taken.data).toMatchObject({ refused: ['cure-not-reached'] });
    expect(openOf(engine)).toEqual(['the sample S-1 broken, before the cure had reached its stage: curious']);
    engine.says('temperature', '20 °C').taken();
    engine.at('+20h').says('temperature', '20 °C').taken();
    engine.says('finish', 'cure').taken();
    engine.says('finish', 'break').refused('nonconformance-open');
    engine.says('break', 'S-1', { result: 'held' }).wrong('already-broken');
    engine.says('dispose', 'S-1', { 'as-what': 'rework', reason: 'a second piece was kept' }).taken();
    expect(openOf(engine)).toHaveLength(1);
    engine.says('finish', 'break').refused('part-missing');
    engine.says('break', 'S-1', { result: 'held' }).taken();
    expect(openOf(engine)).toHaveLength(1);
    engine.says('finish', 'break').taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('counts once a designer has accepted it', () => {
    const engine = toCure();
    engine.at('+2h').says('break', 'S-1', { result: 'held', done: 'curious' }).taken();
    engine.says('dispose', 'S-1', { 'as-what': 'use-as-is', reason: 'x' }).refused('power');
    engine.says('dispose', 'S-1', letter).taken();
    expect(openOf(engine)).toEqual([]);
    engine.says('temperature', '20 °C').taken();
    engine.at('+20h').says('temperature', '20 °C').taken();
    engine.says('finish', 'cure').taken();
    engine.says('finish', 'break').taken();
  });

  it('keeps waiting for its disposition where the result is corrected', () => {
    const engine = toCure();
    engine.at('+2h').says('break', 'S-1', { result: 'held', done: 'curious' }).taken();
    engine.says('correct', 'S-1', { value: 'failed', reason: 'a typing slip' }).taken();
    expect(engine.job().batches[0]?.sample?.broken).toMatchObject({ result: 'failed', pending: true });
    expect(openOf(engine)).toHaveLength(2);
  });

  it('puts every joint in doubt where it failed, early or not', () => {
    const engine = toCure();
    engine.at('+2h').says('break', 'S-1', { result: 'failed', done: 'it fell off the bench' }).taken();
    expect(openOf(engine)).toHaveLength(2);
  });

  it('ends with the mix that is done anew, and not before', () => {
    const engine = toCure();
    engine.at('+2h').says('break', 'S-1', { result: 'held', done: 'curious' }).taken();
    engine.says('undo', 'mix', { because: 'no sample left' }).taken();
    expect(openOf(engine)).toHaveLength(1);
  });
});

describe('a bolt out of order', () => {
  it('counts for nothing until it is disposed of, and a rework asks for it alone', () => {
    const engine = bolted();
    pull(engine, 1, '22 N·m').taken();
    pull(engine, 2, '22 N·m').refused('out-of-order');
    pull(engine, 2, '22 N·m', { done: 'took the wrong one' }).taken();
    expect(wantedIn(engine, 'clamp')).toHaveLength(3);
    expect(openOf(engine)).toEqual(['fastener 2 of clamp, 22 N·m, out of order: took the wrong one']);
    pull(engine, 3, '22 N·m').taken();
    pull(engine, 2, '22 N·m', { reason: 'in its turn' }).refused('nonconformance-open');
    engine.says('dispose', 'clamp', { 'as-what': 'rework', reason: 'slackened', fastener: 2 }).taken();
    pull(engine, 2, '22 N·m').taken();
    pull(engine, 4, '22 N·m').taken();
    expect(openOf(engine)).toHaveLength(1);
    engine.says('finish', 'clamp').taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('is accepted by nobody in a strict procedure', () => {
    const engine = bolted(bolts.replace('steps:', 'strict: true\nsteps:'));
    pull(engine, 2, '22 N·m', { done: 'took the wrong one' }).taken();
    engine.says('dispose', 'clamp', { ...letter, fastener: 2 }).refused('strict');
    engine.says('dispose', 'clamp', { 'as-what': 'rework', reason: 'slackened', fastener: 2 }).taken();
  });
});

describe('a fastener pulled again', () => {
  it('needs a reason, and one above its limit a disposition first', () => {
    const engine = bolted();
    pull(engine, 1, '18 N·m').taken();
    pull(engine, 1, '22 N·m').refused('reason-missing');
    pull(engine, 1, '26 N·m', { reason: 'pulled short' }).taken();
    pull(engine, 1, '22 N·m', { reason: 'slackened' }).refused('outside');
    engine.says('dispose', 'clamp', { 'as-what': 'rework', reason: 'new bolt', fastener: 1 }).taken();
    pull(engine, 1, '22 N·m').taken();
  });

  it('given a fastener at its upper limit, when it is pulled again, then only `less than` counts it as too tight', () => {
    const included = bolted();
    pull(included, 1, '25 N·m').taken();
    pull(included, 1, '24 N·m', { reason: 'the head moved' }).taken();
    const excluded = bolted(bolts.replace('20 to 25 N·m', 'less than 25 N·m'));
    pull(excluded, 1, '25 N·m').taken();
    pull(excluded, 1, '24 N·m', { reason: 'slackened' }).refused('outside');
  });

  it('given one above its limit, when somebody is asked about it, then it waits, and once it is accepted it may be pulled again', () => {
    const engine = bolted();
    pull(engine, 1, '26 N·m').taken();
    engine.says('dispose', 'clamp', { 'as-what': 'ask', reason: 'sent a photo', fastener: 1 }).taken();
    pull(engine, 1, '24 N·m', { reason: 'slackened' }).refused('outside');
    engine.says('dispose', 'clamp', { ...letter, fastener: 1 }).taken();
    pull(engine, 1, '24 N·m', { reason: 'slackened' }).taken();
  });

  it('given a marked fastener, when it is pulled again, then it wants a new mark', () => {
    const engine = bolted();
    pull(engine, 1, '22 N·m').taken();
    engine.says('tighten', 'clamp', { fastener: 1, torque: '23 N·m', reason: 'the head moved' }).taken();
    expect(wantedIn(engine, 'clamp')[0]).toBe('fastener 1: mark');
  });

  it('given one above its limit, when the step is finished, then it says to dispose of it before another try', () => {
    const engine = bolted(bolts.replace('fasteners: 4, order: [1, 3, 2, 4]', 'fasteners: 1'));
    pull(engine, 1, '26 N·m').taken();
    expect(engine.says('finish', 'clamp').refused('outside').todo).toMatch(/^dispose of it before another try/);
    const short = bolted(bolts.replace('fasteners: 4, order: [1, 3, 2, 4]', 'fasteners: 1'));
    pull(short, 1, '18 N·m').taken();
    expect(short.says('finish', 'clamp').refused('outside').todo).toMatch(/^another try/);
  });

  it('is written down where it was pulled again already', () => {
    const engine = bolted();
    pull(engine, 1, '26 N·m').taken();
    pull(engine, 1, '22 N·m', { done: 'slackened and pulled again' }).taken();
    expect(openOf(engine)).toHaveLength(2);
    engine.says('dispose', 'clamp', { ...letter, fastener: 1 }).taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('counts the tries of turns by hand and past them', () => {
    const engine = bolted(
      small(`
  - step: clamp
    title: Fit the elbow
    tighten: { fasteners: 1, finger-tight: 3 to 5 turns, past: 1 to 2 turns, tries: at most 2 }
`),
    );
    const turn = (more: object) => engine.says('tighten', 'clamp', { fastener: 1, ...more });
    turn({ 'finger-tight': '4 turns' }).taken();
    turn({ past: '0.5 turns' }).taken();
    turn({ past: '1 turns' }).refused('reason-missing');
    turn({ past: '1 turns', reason: 'not lined up' }).taken();
    turn({ past: '1.5 turns', reason: 'not lined up' }).refused('tries-used');
    turn({ 'finger-tight': '6 turns', reason: 'backed off' }).taken();
    turn({ 'finger-tight': '4 turns', reason: 'again' }).refused('outside');
  });

  it('reopens one of nine, on a finished step too, and leaves the marks of the others', () => {
    const engine = bolted();
    for (const fastener of [1, 3, 2, 4]) pull(engine, fastener, '22 N·m').taken();
    engine.says('finish', 'clamp').taken();
    engine.says('dispose', 'clamp', { 'as-what': 'rework', reason: 'thread torn', fastener: 9 }).wrong('unknown-id');
    engine.says('dispose', 'clamp', { 'as-what': 'rework', reason: 'thread torn', fastener: 3 }).taken();
    expect(currentStep(engine.job())?.step).toBe('clamp');
    expect(wantedIn(engine, 'clamp')).toEqual(['fastener 3: torque, mark']);
    engine.says('tighten', 'clamp', { fastener: 3, torque: '22 N·m' }).taken();
    expect(wantedIn(engine, 'clamp')).toEqual(['fastener 3: mark']);
  });
});

describe('one position of a reading', () => {
  it('is asked for anew alone', () => {
    const engine = bolted(
      small(`
  - step: clamp
    title: Measure it
    readings: [{ reading: gap, unit: mm, limits: at most 2 mm, positions: [root, tip], source: x }]
`),
    );
    engine.says('read', 'gap', { position: 'root', value: '3' }).taken();
    engine.says('read', 'gap', { position: 'tip', value: '1' }).taken();
    engine.says('dispose', 'gap', { 'as-what': 'rework', reason: 'shimmed', position: 'rib' }).wrong('unknown-id');
    engine.says('dispose', 'gap', { 'as-what': 'rework', reason: 'shimmed', position: 'root' }).taken();
    expect(wantedIn(engine, 'clamp')).toEqual(['gap at root']);
    expect(openOf(engine)).toEqual(['gap: rework, shimmed; not done anew yet']);
    engine.says('read', 'gap', { value: '1' }).taken();
    engine.says('finish', 'clamp').taken();
    expect(openOf(engine)).toEqual([]);
  });
});

describe('what is done already', () => {
  it('is begun, mixed and finished on paper only, and satisfies nothing', () => {
    const engine = dryFitted();
    engine.says('mix', 'mix', { ...good, done: 'the tin was open' }).taken();
    expect(engine.job().batches[0]).toMatchObject({ pending: true });
    expect(openOf(engine)).toEqual(['B-1 mixed, without a lot, or without its use-by: the tin was open']);
    engine.says('finish', 'mix', { with: 'marit' }).refused('nonconformance-open');
    engine.says('begin', 'bond', { done: 'spread it' }).taken();
    expect(engine.job().steps['bond']?.begun).toBeUndefined();
    engine.says('finish', 'bond', { with: 'marit', done: 'spread it' }).taken();
    expect(engine.job().steps['bond']).toMatchObject({ state: 'todo', performers: ['ines', 'marit'] });
    engine.says('dispose', 'B-1', letter).taken();
    engine.says('finish', 'mix').taken();
    expect(currentStep(engine.job())?.step).toBe('bond');
    engine.says('dispose', 'bond', letter).taken();
    expect(engine.job().steps['bond']).toMatchObject({ state: 'done', begun: { by: 'ines' } });
    expect(openOf(engine)).toEqual([]);
  });

  it('is a photo of a step before its turn, too', () => {
    const engine = bolted(
      small(`
  - { step: clamp, title: Clamp it }
  - { step: close, title: Close it, photo: [{ photo: inside, show: the bolts }] }
`),
    );
    engine.says('photo', 'inside', { file: 'a.jpg', 'file-sha256': 'b'.repeat(64) }).refused('out-of-order');
    engine.says('photo', 'inside', { file: 'a.jpg', 'file-sha256': 'b'.repeat(64), done: 'lid was open' }).taken();
    expect(openOf(engine)).toEqual(['a photo of close taken, out of order: lid was open']);
    expect(wantedIn(engine, 'close')).toHaveLength(1);
    engine.says('finish', 'clamp').taken();
    engine.says('dispose', 'close', letter).taken();
    engine.says('finish', 'close').taken();
  });

  it('ends with the batch where nothing was made of it', () => {
    const engine = dryFitted();
    engine.says('mix', 'mix', { ...good, done: 'the tin was open' }).taken();
    engine.says('discard', 'B-1', { because: 'not used' }).taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('never finishes a cure, a wait, a hold or a gate, completes or releases', () => {
    const engine = toCure();
    const refused = engine.at('+2h').says('finish', 'cure', { done: 'clamps off' }).refused('cure-not-reached');
    expect(refused).not.toHaveProperty('mayBeDone');
    engine.says('finish', 'look', { done: 'x' }).refused('out-of-order');
    engine.says('complete', undefined, { done: 'x' }).wrong('field-unknown');
    engine.says('release', 'look', { done: 'x' }).wrong('field-unknown');
  });

  it('hides no usage fault, and never says who may act', () => {
    const engine = dryFitted();
    engine.says('read', 'gap', { value: 'wide', done: 'x' }).wrong();
    engine.says('read', 'width', { value: '12.5', n: 3, done: 'x' }).wrong();
    engine.as('tobias').says('begin', 'bond', { done: 'x' }).refused('power');
  });

  it('is taken as ordinary where no rule refuses it', () => {
    const engine = engineWith([bond]);
    engine.says('start', 'bond').taken();
    expect(engine.says('read', 'gap', { value: '0.15', done: 'x' }).taken().data).not.toHaveProperty('refused');
    expect(openOf(engine)).toEqual([]);
  });

  it('given a coat laid too late, when a designer accepts it, then its step is begun since then and may be finished', () => {
    const engine = engineWith([
      small(
        '  - { step: coat, title: Coat }\n  - { step: cover, title: Cover, no-later-than: { after: coat, time: 24 h } }\n',
      ),
    ]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'coat').taken();
    engine.at('+30h').says('begin', 'cover', { done: 'the phone rang' }).taken();
    engine.says('finish', 'cover').refused('too-late');
    engine.says('dispose', 'cover', letter).taken();
    expect(engine.job().steps['cover']?.begun).toMatchObject({ when: '2026-03-03T15:00:00+01:00', explicit: true });
    engine.says('finish', 'cover').taken();
  });

  it('given a value read too late, when a designer accepts it, then the value has begun its step, and it may be finished', () => {
    const engine = engineWith([
      small(
        '  - { step: coat, title: Coat }\n  - step: cover\n    title: Cover\n    no-later-than: { after: coat, time: 24 h }\n    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }]\n',
      ),
    ]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'coat').taken();
    engine.at('+30h').says('read', 'gap', { value: '0.5', done: 'the phone rang' }).taken();
    engine.says('dispose', 'gap', letter).taken();
    expect(engine.job().steps['cover']?.begun).toMatchObject({ explicit: false });
    engine.says('finish', 'cover').taken();
  });

  it('given a rework, when the step is finished anew although a rule refuses that too, then the first stays open', () => {
    const engine = engineWith([
      small(
        '  - { step: coat, title: Coat }\n  - { step: cover, title: Cover, no-later-than: { after: coat, time: 24 h } }\n',
      ),
    ]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'coat').taken();
    engine.at('+30h').says('finish', 'cover', { done: 'the phone rang' }).taken();
    engine.says('dispose', 'cover', { 'as-what': 'rework', reason: 'sanded off' }).taken();
    expect(openOf(engine)).toHaveLength(1);
    engine.says('finish', 'cover', { done: 'still too late' }).taken();
    expect(openOf(engine)).toHaveLength(2);
    engine.says('dispose', 'cover', letter).taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('opens a finished step again, and its release is void', () => {
    const engine = bolted(
      small(`
  - step: clamp
    title: Clamp it
    tighten: { fasteners: 1, torque: 20 to 25 N·m, mark: true }
  - { step: look, title: Look, hold: { by: inspector, look-for: [marks] } }
  - { step: close, title: Close it }
`),
    );
    pull(engine, 1, '22 N·m').taken();
    engine.says('finish', 'clamp').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    pull(engine, 1, '24 N·m', { done: 'pulled once more before close-up' }).taken();
    expect(currentStep(engine.job())?.step).toBe('clamp');
    engine.says('dispose', 'clamp', letter).taken();
    expect(currentStep(engine.job())?.step).toBe('look');
    engine.says('finish', 'look').refused('hold-closed');
  });
});
