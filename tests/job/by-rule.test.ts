import { describe, expect, it } from 'vitest';
import { stepStateOf } from '../../src/job/step-state.ts';
import { currentStep } from '../../src/job/where.ts';
import { wantedOf } from '../../src/job/parts/all.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { dryFitted, good, last, lot, openOf, small } from './fixtures.ts';

/* Rules that the mutation tester found without a test. Each example is named by its rule. */

const wantedIn = (engine: Engine, id: string): readonly string[] => {
  const step = engine.job().plan.steps.find((one) => one.step === id);
  return step ? wantedOf(engine.job(), step).map(({ what }) => what) : [];
};

const started = (...pages: readonly string[]): Engine => {
  const engine = engineWith(pages);
  engine.says('start', 'small').taken();
  return engine;
};

const letter = {
  'as-what': 'use-as-is',
  reason: 'looked at',
  author: 'Dagny Roth',
  letter: 'l.pdf',
  'letter-sha256': 'a'.repeat(64),
};

describe('what a rule refuses and was done already', () => {
  it('given a finish that only lacks a value, then nobody is pointed to `done`; given one that is too late, they are', () => {
    const engine = started(
      small(`
  - { step: coat, title: Coat }
  - step: cover
    title: Cover
    no-later-than: { after: coat, time: 24 h }
    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }]
`),
    );
    engine.says('finish', 'coat').taken();
    engine.says('begin', 'cover').taken();
    expect(engine.says('finish', 'cover').refused('part-missing').mayBeDone).toBeUndefined();
    const late = started(
      small(
        '  - { step: coat, title: Coat }\n  - { step: cover, title: Cover, no-later-than: { after: coat, time: 24 h } }\n',
      ),
    );
    late.says('finish', 'coat').taken();
    expect(late.at('+30h').says('finish', 'cover').refused('too-late').mayBeDone).toBe(true);
  });

  it('given two bolts out of order, when one is asked about and the other accepted, then only the other counts', () => {
    const engine = started(
      small(
        '  - { step: clamp, title: Clamp, tighten: { fasteners: 4, order: [1, 3, 2, 4], torque: 20 to 25 N·m } }\n',
      ),
    );
    for (const fastener of [2, 4])
      engine.says('tighten', 'clamp', { fastener, torque: '22 N·m', done: 'took the wrong one' }).taken();
    expect(wantedIn(engine, 'clamp')).toHaveLength(4);
    engine.says('dispose', 'clamp', { 'as-what': 'ask', reason: 'sent a photo', fastener: 2 }).taken();
    engine.says('dispose', 'clamp', { ...letter, fastener: 4 }).taken();
    expect(wantedIn(engine, 'clamp')).toEqual(['fastener 1: torque', 'fastener 3: torque', 'fastener 2: torque']);
    expect(openOf(engine)).toHaveLength(1);
  });
});

describe('a disposition of one value', () => {
  it('given two positions, when one is reworked, then the answer names it, and says that the others stay', () => {
    const engine = started(
      small(
        '  - step: one\n    title: One\n    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, positions: [root, tip], source: invented }]\n',
      ),
    );
    engine.says('read', 'gap', { position: 'root', value: '2' }).taken();
    const { told } = engine
      .says('dispose', 'gap', { 'as-what': 'rework', reason: 'shimmed', position: 'root' })
      .taken();
    expect(told).toEqual(['gap at root is to be done anew; the others stay']);
  });
});

describe('a released hold, when its job follows a new page', () => {
  const page = (revision: string, lines: string): string =>
    small(
      `  - { step: one, title: One }\n  - { step: look, title: Look, hold: { by: inspector, look-for: [${lines}] } }\n`,
    ).replace('revision: A', `revision: ${revision}`);

  it('given fewer lines to look for, then its release stands; given another line, then it is looked at anew', () => {
    for (const [lines, open] of [
      ['the gap', undefined],
      ['the gap, the edge', undefined],
      ['the gap, the face', 'look'],
    ] as const) {
      const engine = started(page('A', 'the gap, the edge'), page('B', lines));
      engine.says('finish', 'one').taken();
      engine.as('tobias').says('release', 'look').taken();
      engine.as('ines').says('finish', 'look').taken();
      engine.says('move', 'B').taken();
      expect(currentStep(engine.job())?.step, lines).toBe(open);
    }
  });
});

describe('a job that was scrapped', () => {
  it('given work that was done since, when it is withdrawn, then it is refused', () => {
    const page = small(
      '  - step: one\n    title: One\n    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }]\n',
    );
    const scrapped = (): Engine => {
      const engine = started(page);
      engine.says('read', 'gap', { value: '2' }).taken();
      engine.says('dispose', 'one', { 'as-what': 'scrap', reason: 'split' }).taken();
      return engine;
    };
    const engine = scrapped();
    engine.says('read', 'gap', { value: '0.5' }).taken();
    expect(engine.says('withdraw', undefined, { because: 'no more' }).refused('unfinished').what).toContain('gap');
    expect(scrapped().says('withdraw', undefined, { because: 'no more' }).fault()?.code).not.toBe('unfinished');
  });
});

describe('a tool that was named wrongly', () => {
  it('given its naming put right, then the values taken by it have the right tool, and no others', () => {
    const reading = (id: string): string =>
      `      - { reading: ${id}, unit: mm, limits: at most 9 mm, tool: caliper, source: invented }\n`;
    const engine = engineWith(
      [small(`  - step: one\n    title: One\n    readings:\n${['a', 'b', 'c'].map(reading).join('')}`)],
      { tools: ['CA-1', 'CA-2', 'CA-3', 'CA-4'].map((tool) => ({ tool, kind: 'caliper' })) },
    );
    engine.says('start', 'small').taken();
    engine.says('read', 'a', { value: '1', tool: 'CA-1' }).taken();
    engine.says('use', 'caliper', { tool: 'CA-1' }).taken();
    const named = last(engine);
    engine.says('read', 'b', { value: '1' }).taken();
    engine.says('use', 'caliper', { tool: 'CA-2' }).taken();
    engine.says('read', 'c', { value: '1' }).taken();
    engine.says('correct', named, { value: 'CA-3', reason: 'the other drawer' }).taken();
    const { tries } = engine.job();
    expect(['a', 'b', 'c'].map((id) => tries[id]?.[0]?.tool)).toEqual(['CA-1', 'CA-3', 'CA-2']);
  });
});

describe('a lot that is known to be expired', () => {
  const page = small(
    '  - { step: seal, title: Seal it, materials: [sealant] }\n',
    'gather: { materials: [{ material: sealant, lot: true, in-date: true }] }\n',
  );
  const named = (): Engine => {
    const engine = started(page);
    engine.says('lot', 'sealant', { number: 'S-7', 'use-by': '2026-02-28' }).taken();
    engine.says('finish', 'seal').refused('lot-expired');
    return engine;
  };

  it('given a departure, when it is used, then nothing new is in doubt', () => {
    const engine = named();
    engine.says('depart', 'lot-expired', { says: 'in date', did: 'used it', because: 'a test strip set' }).taken();
    engine.says('finish', 'seal').taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('given that it was used already, when it is written down, then it is one nonconformance and not two', () => {
    const engine = named();
    engine.says('finish', 'seal', { done: 'did not look at the tin' }).taken();
    expect(openOf(engine)).toHaveLength(1);
  });

  it('given its use-by struck after its use, then the step was done without one, and asks for a disposition', () => {
    const engine = started(page);
    engine.says('lot', 'sealant', { number: 'S-9', 'use-by': '2026-09-30' }).taken();
    const entry = last(engine);
    engine.says('finish', 'seal').taken();
    engine.says('correct', entry, { value: { 'use-by': 'none' }, reason: 'the label is of another tin' }).taken();
    expect(openOf(engine)).toEqual([expect.stringContaining('without a lot, or without its use-by') as string]);
  });

  it('given an expired lot of one part, when a kit is named after it, then the kit alone is in use', () => {
    const mixing = small(
      '  - { step: wipe, title: Wipe, materials: [glue] }\n  - { step: mix, title: Mix, mix: { material: glue, ratio: { resin: 2, hardener: 1 }, tolerance: 2 % } }\n',
      'gather: { materials: [{ material: glue, lot: true, in-date: true }] }\n',
    );
    const engine = started(mixing);
    engine.says('lot', 'glue', { number: 'R-1', 'use-by': '2026-02-28', part: 'resin' }).taken();
    engine.says('finish', 'wipe').refused('lot-expired');
    engine.says('lot', 'glue', { number: 'K-1', 'use-by': '2026-09-30' }).taken();
    engine.says('finish', 'wipe').taken();
  });

  it('given a batch that was thrown away, when its lot is recalled, then nothing is in doubt', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', good).taken();
    engine.says('discard', 'B-1', { because: 'lumps' }).taken();
    engine
      .at('+1h')
      .builds({ stock: [{ material: 'adhesive', number: 'L-204', quarantine: 'recalled', extended: [] }] });
    expect(openOf(engine)).toEqual([]);
  });

  it('given a lot that no step asks for, when it is recalled, then the job is in doubt', () => {
    const engine = started(
      small('  - { step: one, title: One }\n', 'gather: { materials: [{ material: oil, lot: true }] }\n'),
    );
    engine.says('lot', 'oil', { number: 'O-1' }).taken();
    engine.says('finish', 'one').taken();
    engine.at('+1h').builds({ stock: [{ material: 'oil', number: 'O-1', quarantine: 'recalled', extended: [] }] });
    expect(openOf(engine)).toEqual(['this job was done with oil O-1, in quarantine since: recalled']);
  });
});

describe('loose items of several steps and jobs', () => {
  const out = (count: number) => ({ count, left: 'out', because: 'it drains', before: 'hull-close' });
  const leaving = (id: string, item: string): string =>
    `  - step: ${id}\n    title: Leave it\n    loose: [{ item: ${item}, count: 1, left: out, because: it drains, before: hull-close }]\n`;

  it('given none of them, when an item is left, then it is called wrongly', () => {
    const engine = started(small(leaving('drain', 'plug')));
    engine.says('loose', 'plug', out(0)).wrong('value-unreadable');
    engine.says('loose', 'plug', out(1)).taken();
  });

  it('given a cap and a plug out, when a step closes the plug, then the cap does not stop it', () => {
    const engine = started(
      small(`${leaving('off', 'cap')}${leaving('drain', 'plug')}  - { step: refit, title: Refit, closes: [plug] }\n`),
    );
    for (const [step, item] of [
      ['off', 'cap'],
      ['drain', 'plug'],
    ] as const) {
      engine.says('loose', item, out(1)).taken();
      engine.says('finish', step).taken();
    }
    engine.says('close', 'plug', { count: 1 }).taken();
    engine.says('finish', 'refit').taken();
  });

  it('given two steps that left something, when one is undone, then only that one is asked for its item again', () => {
    const engine = started(small(`${leaving('off', 'cap')}${leaving('drain', 'plug')}`));
    engine.says('loose', 'cap', out(1)).taken();
    engine.says('finish', 'off').taken();
    engine.says('loose', 'plug', out(1)).taken();
    engine.says('finish', 'drain').taken();
    engine.says('undo', 'drain', { because: 'x' }).taken();
    expect(engine.job().loose.map(({ item, redone }) => [item, redone !== undefined])).toEqual([
      ['cap', false],
      ['plug', true],
    ]);
  });

  it('given a plug out on one side, when a job without sides closes the plugs, then it wants that one too', () => {
    const close = small('  - { step: refit, title: Refit, closes: [plug] }\n').replaceAll('small', 'close');
    const engine = engineWith([small(leaving('drain', 'plug'), 'each: [left, right]\n'), close]);
    engine.says('start', 'small', { each: 'left' }).taken();
    for (const _tag of ['T-1', 'T-2']) engine.says('loose', 'plug', out(1)).taken();
    engine.says('start', 'close').taken();
    engine.says('close', 'T-1', { count: 1 }).taken();
    expect(engine.says('finish', 'refit').refused('part-missing').what).toContain('1 of T-2');
    engine.says('close', 'T-2', { count: 1 }).taken();
    engine.says('finish', 'refit').taken();
  });
});

describe('a correction of who helped', () => {
  it('given a helper whom another entry names too, when the first name is put right, then they have performed all the same', () => {
    const engine = started(small('  - { step: one, title: One }\n'));
    engine.says('begin', 'one', { with: ['Bo Ek'] }).taken();
    const begin = last(engine);
    engine.says('finish', 'one', { with: ['Bo Ek'] }).taken();
    engine.says('correct', begin, { value: 'Ada Lind', reason: 'it was Ada' }).taken();
    expect(stepStateOf(engine.job(), 'one').performers).toEqual(expect.arrayContaining(['ines', 'Bo Ek', 'Ada Lind']));
    const alone = started(small('  - { step: one, title: One }\n'));
    alone.says('begin', 'one', { with: ['Bo Ek'] }).taken();
    alone.says('correct', last(alone), { value: 'Ada Lind', reason: 'it was Ada' }).taken();
    expect(stepStateOf(alone.job(), 'one').performers).toEqual(['ines', 'Ada Lind']);
  });
});

describe('a batch that was thrown away by a slip', () => {
  it('given the other batch meant, when that is put right, then the first counts again, and the other does not', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', good).taken();
    engine.says('mix', 'mix', { ...good, sample: 'S-2' }).taken();
    engine.says('mix', 'mix', { ...good, sample: 'S-3' }).taken();
    engine.says('discard', 'B-3', { because: 'lumps' }).taken();
    engine.says('discard', 'B-1', { because: 'lumps' }).taken();
    const entry = last(engine);
    engine.says('correct', entry, { value: { batch: 'B-3' }, reason: 'the other cup' }).wrong('value-unreadable');
    engine.says('correct', entry, { value: { batch: 'B-2' }, reason: 'the other cup' }).taken();
    expect(engine.job().batches.map(({ discarded }) => discarded !== undefined)).toEqual([false, true, true]);
    engine.says('correct', entry, { value: 'set too early', reason: 'the true reason' }).taken();
    expect(engine.job().batches[1]?.discarded?.because).toBe('set too early');
  });
});
