import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jobsOf } from '../../src/aircraft/state.ts';
import { isOpenItem, leftOpen } from '../../src/job/loose.ts';
import type { LooseItem } from '../../src/job/state.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const hull = small(`
  - step: drain
    title: Take the plugs out
    loose: [{ item: plug, count: 9, left: out, because: the hull dries, before: hull-close }]
  - step: dry
    title: Dry the hull
    readings: [{ reading: moisture, unit: '%', limits: at most 14 %, source: invented }]
    back-to: drain
  - step: refit
    title: Put the plugs back
    closes: [plug]
`).replaceAll('small', 'hull');

const close = small(`
  - step: plugs-in
    title: Put every plug back
    closes: [plug]
  - step: pass
    title: Close the hull
    gate: hull-close
`).replaceAll('small', 'close');

const plug = (count: number) => ({ count, left: 'out', because: 'the hull dries', before: 'hull-close' });
const because = { because: 'x' };

const itemsOf = (engine: Engine): readonly LooseItem[] => jobsOf(engine.state()).flatMap(({ loose }) => loose);

const openOf = (engine: Engine): Readonly<Record<string, number>> =>
  Object.fromEntries(
    itemsOf(engine)
      .filter(isOpenItem)
      .map((item) => [item.tag, leftOpen(item)]),
  );

const drained = (more: readonly string[] = []): Engine => {
  const engine = engineWith([hull, ...more]);
  engine.says('start', 'hull').taken();
  engine.says('loose', 'plug', plug(9)).taken();
  engine.says('finish', 'drain').taken();
  return engine;
};

describe('a loose item', () => {
  it('stays open when the step that left it is undone, reworked or scrapped', () => {
    const engine = drained();
    engine.says('undo', 'drain', because).taken();
    expect(openOf(engine)).toEqual({ 'T-1': 9 });
    engine.says('finish', 'drain').taken();
    engine.says('read', 'moisture', { value: '20' }).taken();
    engine.says('dispose', 'moisture', { 'as-what': 'rework', reason: 'wet' }).taken();
    expect(openOf(engine)).toEqual({ 'T-1': 9 });
    engine.says('finish', 'drain').taken();
    engine.says('read', 'moisture', { value: '20' }).taken();
    engine.says('dispose', 'moisture', { 'as-what': 'scrap', reason: 'rotten' }).taken();
    expect(openOf(engine)).toEqual({ 'T-1': 9 });
  });

  it('is wanted again by a step done anew only as far as it came back', () => {
    const engine = drained();
    engine.says('close', 'T-1', { count: 4 }).taken();
    engine.says('undo', 'drain', because).taken();
    const { what } = engine.says('finish', 'drain').refused('part-missing');
    expect(what).toContain('5 still out');
    engine.says('loose', 'plug', plug(4)).taken();
    engine.says('finish', 'drain').taken();
    expect(openOf(engine)).toEqual({ 'T-1': 5, 'T-2': 4 });
  });

  it('is ended by a count of 0 only with a reason', () => {
    const engine = drained();
    engine.says('close', 'T-1', { count: 2 }).taken();
    engine.says('close', 'T-1', { count: 0 }).wrong('field-missing');
    engine.says('close', 'T-1', { count: 8 }).wrong('value-unreadable');
    engine.says('close', 'T-1', { count: 0, reason: 'the hull was scrapped' }).taken();
    expect(openOf(engine)).toEqual({});
    expect(itemsOf(engine)[0]?.closings).toMatchObject([
      { count: 2 },
      { count: 0, gone: 7, reason: 'the hull was scrapped' },
    ]);
    engine.says('close', 'T-1', { count: 1 }).wrong('closed-already');
  });

  it('was not closed before it was left', () => {
    const engine = drained();
    engine.at('+1h').says('close', 'T-1', { count: 1 }, '2026-03-02T08:00:00+01:00').wrong('when-before');
    engine.says('close', 'T-1', { count: 1 }).taken();
  });

  it('is not named by its item where two tags are open', () => {
    const engine = drained();
    engine.says('loose', 'plug', plug(1)).taken();
    const fault = engine.says('close', 'plug', { count: 1 }).wrong('tag-wanted');
    expect(fault.what).toContain('T-1');
    engine.says('close', 'T-2', { count: 1 }).taken();
    engine.says('close', 'plug', { count: 9 }).taken();
  });

  it('is closed whole before the step that closes it is finished, whichever tags it has', () => {
    const engine = drained();
    engine.says('loose', 'plug', plug(1)).taken();
    engine.says('read', 'moisture', { value: '12' }).taken();
    engine.says('finish', 'dry').taken();
    engine.says('close', 'T-1', { count: 9 }).taken();
    expect(engine.says('finish', 'refit').refused('part-missing').what).toContain('T-2');
    engine.says('close', 'T-2', { count: 1 }).taken();
    engine.says('finish', 'refit').taken();
  });

  it('is open again when the step that closed it is undone, also in the job that left it', () => {
    const engine = drained([close]);
    engine.says('start', 'close').taken();
    engine.says('close', 'T-1', { count: 9 }).taken();
    engine.says('finish', 'plugs-in').taken();
    engine.says('undo', 'plugs-in', because).taken();
    expect(openOf(engine)).toEqual({ 'T-1': 9 });
    expect(jobsOf(engine.state())[0]?.log.at(-1)?.type).toBe('undo');
    engine.says('close', 'plug', { count: 9 }).taken();
    engine.says('finish', 'plugs-in').taken();
    expect(openOf(engine)).toEqual({});
  });

  it('of which nothing is open is entered as such, with its reason, by the step that closes it', () => {
    const engine = engineWith([close]);
    engine.says('start', 'close').taken();
    engine.says('close', 'plug', { count: 0 }).wrong('field-missing');
    engine.says('close', 'plugs', { count: 0, reason: 'none' }).wrong('unknown-id');
    engine.says('close', 'plug', { count: 0, reason: 'never taken out' }).taken();
    engine.says('finish', 'plugs-in').taken();
  });

  it('given a plug out on the left side, when the right side closes its own, then the left one stays out and stops nothing', () => {
    const page = small(
      '  - step: drain\n    title: Drain\n    loose: [{ item: plug, count: 1, left: out, because: it drains, before: hull-close }]\n  - { step: refit, title: Put it back, closes: [plug] }\n',
      'each: [left, right]\n',
    );
    const engine = engineWith([page]);
    for (const each of ['left', 'right']) {
      engine.says('start', 'small', { each }).taken();
      engine.says('loose', 'plug', plug(1)).taken();
      engine.says('finish', 'drain').taken();
    }
    engine.says('finish', 'refit').refused('part-missing');
    engine.says('close', 'plug', { count: 1 }).taken();
    engine.says('finish', 'refit').taken();
    expect(openOf(engine)).toEqual({ 'T-1': 1 });
  });

  it('is not left before a gate that is passed already', () => {
    const engine = engineWith([hull, close]);
    engine.says('start', 'close').taken();
    engine.says('close', 'plug', { count: 0, reason: 'never taken out' }).taken();
    engine.says('finish', 'plugs-in').taken();
    engine.says('finish', 'pass').taken();
    engine.says('start', 'hull').taken();
    expect(engine.says('loose', 'plug', plug(9)).refused('gate-passed').todo).toContain('first-start');
    engine.says('skip', 'drain', { because: 'x', before: 'hull-close' }).refused('gate-passed');
    engine.says('loose', 'plug', { ...plug(9), before: 'first-start' }).taken();
  });
});

const bonded = small(`
  - step: lay
    title: Lay it out
    proves: [line]
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, sample: true }
  - step: spread
    title: Spread
    in-pot-life-of: mix
  - step: cure
    title: Cure
    cure: { of: mix, stages: { handle: 1 h at 18 °C }, floor: 18 °C }
  - step: unclamp
    title: Take the clamps off
    after-stage: { cure: cure, stage: handle }
  - step: break
    title: Break the sample
    break: { of: mix }
  - step: tidy
    title: Tidy up
  - step: look
    title: Have it looked at
    hold: { by: inspector }
`);

const later = { because: 'no glue', before: 'first-start' };

const skipping = (...steps: readonly string[]): Engine => {
  const engine = engineWith([bonded]);
  engine.says('start', 'small').taken();
  engine.says('finish', 'lay').taken();
  for (const step of steps) engine.says('skip', step, later).taken();
  return engine;
};

const all = ['mix', 'spread', 'cure', 'unclamp', 'break'];

describe('a step left for later', () => {
  it('keeps every step that needs it waiting, and says so as it is left', () => {
    const engine = skipping();
    expect(engine.says('skip', 'mix', later).taken().told.join(' ')).toContain('spread, cure, unclamp, break');
    for (const step of ['spread', 'cure', 'unclamp', 'break']) {
      expect(engine.says('finish', step).refused('out-of-order').what).toMatch(/needs|left for later/);
      engine.says('skip', step, later).taken();
    }
    engine.says('finish', 'tidy').taken();
  });

  it('is never ticked: not by a count, a release or a completion', () => {
    const engine = skipping(...all);
    engine.says('finish', 'tidy').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('close', 'T-1', { count: 1 }).wrong('step-left');
    engine.says('complete').refused('unfinished');
    expect(engine.job().steps['mix']?.state).toBe('skipped');
  });

  it('closes its tag when it is finished, and voids the releases over it', () => {
    const engine = skipping(...all);
    engine.says('finish', 'tidy').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, sample: 'S-1' }).taken();
    engine.says('finish', 'mix').taken();
    expect(
      engine
        .job()
        .loose.filter(isOpenItem)
        .map(({ item }) => item),
    ).toEqual(all.slice(1));
    expect(engine.job().steps['look']?.state).toBe('todo');
    expect(engine.job().looks['look']?.[0]?.voided).toBeDefined();
    engine.says('finish', 'spread').taken();
    engine.says('finish', 'cure').refused('cure-not-reached');
  });

  it('is entered as not done only with a reason, as a departure, and still satisfies nothing', () => {
    const engine = skipping(...all);
    engine.says('finish', 'tidy').taken();
    engine.says('close', 'T-1', { count: 0 }).wrong('field-missing');
    engine.as('tobias').says('close', 'T-1', { count: 0, reason: 'dropped' }).refused('power');
    engine.as('ines');
    for (const tag of ['T-1', 'T-2', 'T-3', 'T-4', 'T-5'])
      engine.says('close', tag, { count: 0, reason: 'riveted' }).taken();
    expect(engine.job().departures).toMatchObject(all.map((step) => ({ code: 'manual', did: 'not done', step })));
    engine.says('undo', 'spread', because).taken();
    engine.says('finish', 'spread').refused('out-of-order');
    engine.says('skip', 'spread', later).taken();
    engine.says('close', 'T-6', { count: 0, reason: 'riveted' }).taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('complete').taken();
  });

  it('given a tag of another job, when it is entered here as not done, then it is called wrongly and stays open', () => {
    const other = small('  - { step: one, title: One }\n').replaceAll('small', 'other');
    const engine = engineWith([small('  - { step: one, title: One }\n'), other]);
    engine.says('start', 'small').taken();
    engine.says('skip', 'one', { because: 'no cutter', before: 'first-flight' }).taken();
    engine.says('start', 'other').taken();
    engine.says('close', 'T-1', { count: 0, reason: 'not needed' }).wrong('other-job');
    expect(openOf(engine)).toEqual({ 'T-1': 1 });
  });

  it('given a witness point, when it is left for later, then it is taken, as a hold never is', () => {
    const page = (kind: string): string =>
      small(
        `  - { step: one, title: One }\n  - { step: see, title: See, hold: { kind: ${kind}, by: inspector, look-for: [it moves] } }\n`,
      );
    const left = { because: 'nobody comes', before: 'first-flight' };
    for (const [kind, says] of [
      ['witness', 'taken'],
      ['hold', 'hold-closed'],
    ] as const) {
      const engine = engineWith([page(kind)]);
      engine.says('start', 'small').taken();
      engine.says('finish', 'one').taken();
      expect(engine.says('skip', 'see', left).fault()?.code ?? 'taken').toBe(says);
    }
  });

  it('is a proof or a hold never by not being done, and in a strict procedure nothing is', () => {
    const engine = engineWith([bonded]);
    engine.says('start', 'small').taken();
    engine.says('skip', 'lay', later).taken();
    engine.says('close', 'T-1', { count: 0, reason: 'x' }).refused('proof-missing');
    const strict = engineWith([bonded.replace('revision: A', 'revision: A\nstrict: true')]);
    strict.says('start', 'small').taken();
    strict.says('finish', 'lay').taken();
    strict.says('skip', 'mix', later).taken();
    strict.says('close', 'T-1', { count: 0, reason: 'x' }).refused('strict');
  });

  it('is taken up again by its first entry, and then is the open step, with its tag until it is finished', () => {
    const engine = skipping('mix');
    engine.says('skip', 'mix', later).wrong('left-already');
    engine.says('begin', 'mix').taken();
    engine.says('skip', 'mix', { because: 'no cups', before: 'first-flight' }).taken();
    expect(openOf(engine)).toEqual({ 'T-1': 1 });
    expect(itemsOf(engine)).toMatchObject([
      { tag: 'T-1', before: 'first-start', leftAgain: [{ before: 'first-flight' }] },
    ]);
    engine.says('undo', 'mix', because).taken();
    expect(openOf(engine)).toEqual({ 'T-1': 1 });
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, sample: 'S-1' }).taken();
    engine.says('finish', 'mix').taken();
    expect(openOf(engine)).toEqual({});
    engine.says('finish', 'spread').taken();
  });
});

/** What may happen to a job with loose items, at random. */
const act = fc.oneof(
  fc.record({
    verb: fc.constant('loose' as const),
    object: fc.constant('plug'),
    count: fc.integer({ min: 1, max: 9 }),
  }),
  fc.record({
    verb: fc.constant('close' as const),
    object: fc.constantFrom('T-1', 'T-2', 'T-3', 'T-4', 'plug'),
    count: fc.integer({ min: 0, max: 9 }),
    reason: fc.option(fc.constant('gone'), { nil: undefined }),
  }),
  fc.record({ verb: fc.constant('undo' as const), object: fc.constantFrom('drain', 'dry', 'refit') }),
  fc.record({ verb: fc.constant('skip' as const), object: fc.constantFrom('drain', 'dry', 'refit') }),
  fc.record({ verb: fc.constant('finish' as const), object: fc.constantFrom('drain', 'dry', 'refit') }),
  fc.record({ verb: fc.constant('dispose' as const), object: fc.constant('moisture') }),
  fc.record({
    verb: fc.constant('read' as const),
    object: fc.constant('moisture'),
    value: fc.constantFrom('12', '20'),
  }),
  fc.record({ verb: fc.constant('move' as const), object: fc.constantFrom('A', 'B') }),
);

/** A page on which the plugs and the refitting are no longer there. */
const withoutPlugs = small(`
  - step: dry
    title: Dry the hull
    readings: [{ reading: moisture, unit: '%', limits: at most 14 %, source: invented }]
`)
  .replaceAll('small', 'hull')
  .replace('revision: A', 'revision: B');

const enter = (
  engine: Engine,
  one: {
    readonly verb: 'loose' | 'close' | 'undo' | 'skip' | 'finish' | 'dispose' | 'read' | 'move';
    readonly object: string;
  } & Record<string, unknown>,
): void => {
  const { verb, object, ...rest } = one;
  const data = {
    loose: { ...plug(1), ...rest },
    close: rest.reason === undefined ? { count: rest.count } : rest,
    undo: because,
    skip: { because: 'x', before: 'hull-close' },
    finish: {},
    dispose: { 'as-what': 'rework', reason: 'x' },
    read: { ...rest, reason: 'again' },
    move: {},
  }[verb] as Record<string, string | number>;
  engine.says(verb, object, data).fault();
};

describe('whatever happens', () => {
  it('what was left is what was closed by name and what is still open, for every tag', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 25 }), (acts) => {
        const engine = engineWith([hull, withoutPlugs]);
        engine.says('start', 'hull').taken();
        for (const one of acts) enter(engine, one);
        for (const item of itemsOf(engine)) {
          const named = engine.entries().filter(({ type, data }) => {
            const of = data as { readonly tag?: string; readonly step?: string };
            return (
              (type === 'close' && of.tag === item.tag) || (type === 'finish' && item.skipped && of.step === item.step)
            );
          });
          const counting = item.closings.filter(({ superseded }) => superseded === undefined);
          const ended = counting.reduce((sum, { count, gone = 0 }) => sum + count + gone, 0);
          expect(ended + leftOpen(item)).toBe(item.count);
          expect(named.map(({ id }) => id)).toEqual(expect.arrayContaining(counting.map(({ entry }) => entry)));
        }
      }),
      { numRuns: 150 },
    );
  });
});
