import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { jobActs } from '../../src/job/acts/all.ts';
import type { Data } from '../../src/job/entry.ts';
import { nonconformances } from '../../src/job/nonconformances.ts';
import { wantedOf } from '../../src/job/parts/all.ts';
import { potLifeNow } from '../../src/job/potlife.ts';
import type { JobState } from '../../src/job/state.ts';
import type { Verb } from '../../src/job/verbs.ts';
import { currentStep } from '../../src/job/where.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, broken, dryFitted, good, last, lot, mixed, openOf, scale, small } from './fixtures.ts';

/** What an entry wrongly said, what it should have said, and how that is written in a correction. */
interface Slip {
  readonly verb: Verb;
  readonly object?: string | number;
  readonly wrong: Data;
  readonly right: Data;
  readonly value: Data | string;
  readonly before: () => Engine;
}

const measured = (): Engine => {
  const engine = engineWith([bond], { tools: scale });
  engine.says('start', 'bond').taken();
  return engine;
};

const slip = (
  verb: Verb,
  object: string | number | undefined,
  wrong: Data,
  value: Data,
  before: () => Engine = dryFitted,
): Slip => {
  const right: Record<string, unknown> = { ...wrong };
  for (const [name, one] of Object.entries(value)) {
    const [field = '', part] = name.split('.');
    right[field] = part === undefined ? one : { ...(right[field] as object), [part]: one };
  }
  return { verb, ...(object === undefined ? {} : { object }), wrong, right: right as Data, value, before };
};

const parking = { because: 'late', 'waits-for': 'reamer', state: 'drilled', where: 'shelf' };
const leaving = { count: 2, left: 'finger tight', because: 'direction', before: 'first-start' };

const slips: readonly Slip[] = [
  slip('read', 'gap', { value: '1.98 mm' }, { value: '0.198 mm' }, measured),
  slip('read', 'gap', { value: '0.1 mm' }, { value: '0.5 mm' }, measured),
  slip('lot', 'adhesive', { number: 'L-1', 'use-by': '2026-01-31' }, { number: 'L-2', 'use-by': '2027-01-31' }),
  slip(
    'mix',
    'mix',
    { ...good, weights: { resin: '100 g', hardener: '44.5 g' } },
    { 'weights.hardener': '44.1 g' },
    () => lotted(),
  ),
  slip('mix', 'mix', { ...good, weights: { resin: '100 g', hardener: '40 g' } }, { 'weights.hardener': '44 g' }, () =>
    lotted(),
  ),
  slip('mix', 'mix', { ...good, with: 'bo' }, { with: ['marit'] as unknown as string, sample: 'S-9' }, () => lotted()),
  slip('shop', undefined, { temperature: '12 °C', humidity: '60 %' }, { temperature: '21 °C' }),
  slip('photo', 'bay', { file: 'a.jpg', 'file-sha256': 'f'.repeat(64) }, { photo: 'bay-3' }),
  slip('depart', 'manual', { says: 'a', did: 'b', because: 'c' }, { did: 'd', agreed: 'Bo' }),
  slip('loose', 'plug', leaving, { count: 3, left: 'out', before: 'first-flight' }),
  slip('park', undefined, parking, { where: 'the loft' }),
  slip('remark', 'misread', {}, { text: 'read again' }),
  slip('advise', 'leave it', { from: 'Bo' }, { from: 'Petra', text: 'leave it be' }),
  slip('use', 'scale', { tool: 'SC-1' }, { tool: 'SC-2' }, () => scales()),
  slip('begin', 'mix', { with: 'bo' }, { with: ['marit', 'lars'] as unknown as string }),
  slip('temperature', '12 °C', {}, { temperature: '21 °C' }),
  slip('tool', 'SC-1', { found: 'dropped' }, { found: 'checked' }),
];

const lotted = (): Engine => {
  const engine = dryFitted();
  engine.says('lot', 'adhesive', lot).taken();
  return engine;
};

const scales = (): Engine => {
  const engine = engineWith([bond], {
    tools: [...scale, { tool: 'SC-2', kind: 'scale', 'in-date-until': '2027-01-31' }],
  });
  engine.says('start', 'bond').taken();
  return engine;
};

/** What the rules make of a job, without what a correction leaves behind: struck lines, stamps of its own, and the log. */
const decided = (engine: Engine): unknown => {
  const job = engine.job();
  const state = engine.state();
  const at = state.lastAt;
  const around = aroundOf(state, job, at);
  const { log: _log, struck: _struck, plan: _plan, steps, ...rest } = job;
  return {
    ...rest,
    steps: Object.entries(steps)
      .filter(([, one]) => one.state !== 'todo' || one.begun)
      .map(([step, { state: is, with: names, begun }]) => [step, is, names, begun?.entry]),
    open: currentStep(job)?.step,
    wants: job.plan.steps.map((step) => wantedOf(job, step).map(({ what }) => what)),
    nonconformances: nonconformances(job, around),
    potLife: potLifeNow(job, ['mix'], around, at),
    found: state.found,
    temperatures: state.temperatures,
  };
};

describe('a correction', () => {
  it.each(slips.map((one) => [`${one.verb} ${one.object ?? ''} ${JSON.stringify(one.value)}`, one] as const))(
    'decides everything as if the right thing had been entered: %s',
    (_name, { verb, object, wrong, right, value, before }) => {
      const [slipped, straight] = [before(), before()];
      slipped.says(verb, object, wrong).taken();
      const target = last(slipped);
      slipped.says('correct', target, { value, reason: 'slip' }).taken();
      const named = { ...(object === undefined ? {} : {}), ...right };
      const { text, temperature, photo, ...others } = named as Record<string, unknown>;
      const bare = { remark: text, advise: text, temperature, photo }[verb as string] as string | undefined;
      straight.says(verb, bare ?? object, (bare === undefined ? named : others) as Data).taken();
      straight.says('interrupt').fault();
      slipped.says('interrupt').fault();
      const strip = (engine: Engine): string =>
        JSON.stringify(decided(engine), (_key, one: unknown) =>
          typeof one === 'bigint' ? String(one) : one,
        ).replaceAll(/"entry":"w:\d+"/g, '"entry":""');
      expect(JSON.parse(strip(slipped))).toEqual(JSON.parse(strip(straight)));
      const struck = [...slipped.job().struck, ...slipped.state().struck];
      expect(struck).toMatchObject([{ entry: target, by: 'ines', struckBy: 'ines', reason: 'slip' }]);
    },
  );

  it('of any value to any other leaves the verdict of the right value', () => {
    const value = fc.integer({ min: 0, max: 400 }).map((n) => `${n / 1000} mm`);
    fc.assert(
      fc.property(value, value, (wrong, right) => {
        const [slipped, straight] = [measured(), measured()];
        slipped.says('read', 'gap', { value: wrong }).taken();
        const verdict = slipped.says('correct', 'gap', { value: right, reason: 'slip' }).taken().verdict;
        expect(verdict).toBe(straight.says('read', 'gap', { value: right }).taken().verdict);
        expect(slipped.job().struck[0]?.value).toBe(wrong);
      }),
      { numRuns: 30 },
    );
  });

  it('says what to do instead for every verb whose entries are not corrected', () => {
    const rows = Object.entries(jobActs).map(([verb, { correct }]) => [verb, correct] as const);
    const instead = rows.filter(([, correct]) => 'instead' in correct).map(([verb]) => verb);
    expect(instead.toSorted()).toEqual(
      ['complete', 'correct', 'move', 'refuse', 'reinspect', 'release', 'withdraw'].toSorted(),
    );
    const engine = mixed();
    engine.says('correct', 'mix', { value: 'x', reason: 'y' }).wrong('unknown-id');
    engine.says('finish', 'mix').taken();
    engine
      .says('correct', engine.entries().find(({ type }) => type === 'start')?.id ?? '', { value: 'x', reason: 'y' })
      .wrong('not-corrected');
  });

  it('corrects the time at which something happened, and never to a time after it was written', () => {
    const engine = mixed();
    const entry = engine.job().batches[0]?.entry ?? '';
    engine
      .says('correct', entry, { value: { when: '2026-03-02T12:00:00+01:00' }, reason: 'later' })
      .refused('when-ahead');
    engine
      .says('correct', 'B-1', { value: { when: '2026-03-02T09:00:30+01:00' }, reason: 'the clock on the wall' })
      .taken();
    expect(engine.job().batches[0]).toMatchObject({ when: '2026-03-02T09:00:30+01:00' });
    expect(engine.job().log.find((one) => one.entry === entry)?.when).toBe('2026-03-02T09:00:00+01:00');
  });

  it('of a sample from held to failed finds every joint, and voids the release over it', () => {
    const engine = broken();
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('complete').taken();
    engine.says('correct', 'S-1', { value: 'failed', reason: 'the wrong halves' }).taken();
    const job = engine.job();
    const found = nonconformances(job, aroundOf(engine.state(), job, engine.state().lastAt));
    expect(found.some(({ on, open }) => on === 'bond' && open)).toBe(true);
    expect(job.looks['look']?.at(-1)?.voided).toBeDefined();
    expect(job.reopened).toBeDefined();
  });

  it('is decided in the job whose entry it is, wherever it is sent from', () => {
    const engine = mixed();
    const [job, entry] = [engine.job().id, engine.job().batches[0]?.entry ?? ''];
    engine.says('start', 'bond').taken();
    const taken = engine.says('correct', entry, { value: { 'weights.hardener': '44.2 g' }, reason: 'misread' }).taken();
    expect(taken.told[0]).toContain(job);
    expect(engine.job(job).batches[0]?.weights).toEqual({ resin: '100 g', hardener: '44.2 g' });
  });
});

describe('a further cup', () => {
  const wet = (): Engine => {
    const engine = mixed();
    engine.says('finish', 'mix').taken();
    return engine;
  };
  const second = { weights: { resin: '50 g', hardener: '22 g' }, with: 'marit', sample: 'S-2' };

  it('is mixed while the glue is needed wet, passes every check of a mix, and the pot life that ends first rules', () => {
    const engine = wet();
    engine.says('mix', 'mix', { ...second, weights: { resin: '10 g', hardener: '4.4 g' } }).refused('batch-size');
    engine.at('+10min').says('mix', 'mix', second).taken();
    expect(currentStep(engine.job())?.step).toBe('bond');
    expect(engine.job().batches.map(({ sample }) => sample?.id)).toEqual(['S-1', 'S-2']);
    const around = aroundOf(engine.state(), engine.job(), engine.state().lastAt);
    expect(potLifeNow(engine.job(), ['mix'], around, engine.state().lastAt)?.batch).toBe('B-1');
    engine.says('finish', 'bond').taken();
    engine.says('mix', 'mix', second).refused('out-of-order');
  });

  it('saves the mix step from being opened again when the first is thrown away', () => {
    const engine = wet();
    engine.says('mix', 'mix', second).taken();
    engine.says('discard', 'B-1', { because: 'gone off' }).taken();
    expect(currentStep(engine.job())?.step).toBe('bond');
    engine.says('discard', 'B-2', { because: 'dropped' }).taken();
    expect(currentStep(engine.job())?.step).toBe('mix');
  });

  it('that was used opens what was made with it when it is discarded', () => {
    const engine = wet();
    engine.says('finish', 'bond').taken();
    expect(engine.says('discard', 'B-1', { because: 'scraped off' }).taken().told.join()).toContain('bond');
    expect(engine.job().steps['bond']?.state).toBe('todo');
    expect(currentStep(engine.job())?.step).toBe('mix');
  });
});

describe('twins', () => {
  const page = small(
    '  - { step: up, title: Up, readings: [{ reading: angle, unit: °, twin: at most 1 °, source: invented }] }\n',
    'each: [left, right]\n',
  );
  const bothDone = (): { readonly engine: Engine; readonly left: () => JobState; readonly right: () => JobState } => {
    const engine = engineWith([page]);
    const ids = (['left', 'right'] as const).map((each) => {
      engine.says('start', 'small', { each }).taken();
      engine.says('read', 'angle', { value: each === 'left' ? '21.5 °' : '22.5 °' }).taken();
      engine.says('finish', 'up').taken();
      engine.says('complete').taken();
      return engine.job().id;
    });
    return { engine, left: () => engine.job(ids[0]), right: () => engine.job(ids[1]) };
  };

  it('are open again on all sides after a correction on any, with both values and their difference', () => {
    const { engine, left, right } = bothDone();
    engine.says('correct', 'angle', { value: '23 °', reason: 'misread' }).taken();
    for (const side of [left(), right()]) {
      expect(side.reopened).toBeDefined();
      expect(currentStep(side)?.step).toBe('up');
    }
    expect(left().steps['up']?.reopened.at(-1)?.because).toBe(
      'angle: left 21.5 °, right 23 °; difference 1.5 °, limit at most 1 °',
    );
    const fault = engine.says('finish', 'up').refused('twin-open');
    expect(fault.what).toContain('left 21.5 °, right 23 °');
    expect(fault.todo).toContain(left().id);
    engine.says('correct', 'angle', { value: '22 °', reason: 'read again' }).taken();
    engine.says('finish', 'up').taken();
    engine.says('complete').taken();
    expect(currentStep(left())?.step).toBe('up');
  });
});

describe('what was said beside the work', () => {
  const puts = (engine: Engine, target: string, value: Data, more: Data = {}) =>
    engine.says('correct', target, { value: value as unknown as string, reason: 'slip', ...more });
  const hash = 'e'.repeat(64);

  it('is why something was done although a rule refused it, whatever the verb', () => {
    const engine = measured();
    engine.says('finish', 'dry-fit', { done: 'the parts wore fitted' }).taken();
    const finish = last(engine);
    puts(engine, finish, { done: 'the parts were fitted' }).taken();
    expect(openOf(engine)[0]).toContain(': the parts were fitted');
    puts(engine, finish, { done: 'none' }).wrong('not-corrected');
    engine.says('read', 'gap', { value: '0.1 mm' }).taken();
    puts(engine, last(engine), { done: 'no rule refused it' }).wrong();
    engine.says('read', 'gap', { value: '0.12 mm', done: 'red again' }).taken();
    expect(engine.job().tries['gap']?.at(-1)?.reason).toBe('red again');
  });

  it('is the reason of a finish', () => {
    const engine = dryFitted();
    const finish = engine.job().steps['dry-fit']?.finished?.entry ?? '';
    puts(engine, finish, { reason: 'seen by Lars' }).taken();
    expect(engine.job().steps['dry-fit']?.finished?.reason).toBe('seen by Lars');
    expect(engine.job().struck.at(-1)).toMatchObject({ value: 'reason none', right: 'reason seen by Lars' });
    puts(engine, finish, { reason: 'none' }).taken();
    expect(engine.job().steps['dry-fit']?.finished).not.toHaveProperty('reason');
  });

  it('is the photo of what is parked or left loose, with its hash', () => {
    const engine = dryFitted();
    const photo = { photo: 'a.jpg', 'photo-sha256': 'f'.repeat(64) };
    engine.says('loose', 'plug', { ...leaving, ...photo }).taken();
    puts(engine, 'T-1', { photo: 'b.jpg' }, { hashes: { photo: hash } as unknown as string }).taken();
    expect(engine.job().loose[0]?.photo).toEqual({ file: 'b.jpg', sha256: hash });
    puts(engine, 'T-1', { place: 'sump' }).taken();
    expect(engine.job().loose[0]).toMatchObject({ place: 'sump', photo: { file: 'b.jpg', sha256: hash } });
    engine.says('park', undefined, { ...parking, ...photo }).taken();
    puts(engine, last(engine), { photo: 'none' }).taken();
    expect(engine.job().parks[0]).not.toHaveProperty('photo');
  });

  it('is who wrote a letter, and never a letter without an author', () => {
    const engine = measured();
    engine.says('read', 'gap', { value: '0.5 mm' }).taken();
    engine
      .says('dispose', 'gap', {
        'as-what': 'use-as-is',
        reason: 'r',
        letter: 'l',
        'letter-sha256': hash,
        author: 'Pel',
      })
      .taken();
    const entry = last(engine);
    puts(engine, entry, { author: 'Pell Osk' }).taken();
    expect(engine.job().dispositions[0]?.author).toBe('Pell Osk');
    puts(engine, entry, { author: 'none' }).wrong('field-missing');
    engine.says('dispose', 'gap', { 'as-what': 'ask', reason: 'r' }).taken();
    puts(engine, last(engine), { author: 'Pell' }).wrong('not-corrected');
  });

  it('is why a step was left undone, at the step and in its departure', () => {
    const engine = engineWith([small('  - { step: paint, title: Paint }\n  - { step: fit, title: Fit }\n')]);
    engine.says('start', 'small').taken();
    engine.says('skip', 'paint', { because: 'no paint', before: 'first-flight' }).taken();
    engine.says('close', 'T-1', { count: 0, reason: 'bare metall' }).taken();
    const entry = last(engine);
    puts(engine, entry, { count: 1 }).wrong('not-corrected');
    puts(engine, entry, { reason: 'bare metal' }).taken();
    expect(engine.job().steps['paint']?.skip?.notDone?.because).toBe('bare metal');
    expect(engine.job().departures[0]?.because).toBe('bare metal');
  });
});
