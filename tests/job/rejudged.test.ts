import { describe, expect, it } from 'vitest';
import { currentStep } from '../../src/job/where.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, broken, dryFitted, good, last, lot, mixed, openOf, scale, shopBond, small } from './fixtures.ts';

describe('a batch that a correction shows to be outside its ratio after it was used', () => {
  const outside = (): Engine => {
    const engine = broken();
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('complete').taken();
    const { told } = engine
      .says('correct', 'B-1', { value: { 'weights.hardener': '40 g' }, reason: 'misread' })
      .taken();
    expect(told.join()).toContain('every joint of it is in doubt');
    return engine;
  };

  it('puts every joint in doubt, opens the mix and voids the releases, and is decided by one disposition', () => {
    const engine = outside();
    expect(openOf(engine)).toEqual([
      'B-1, found to be outside its ratio after it was used',
      'bond was made with B-1, found to be outside its ratio',
    ]);
    expect(engine.job().batches[0]?.discarded).toBeUndefined();
    expect(currentStep(engine.job())?.step).toBe('mix');
    expect(engine.job().looks['look']?.at(-1)?.voided).toBeDefined();
    engine.says('finish', 'mix').refused('outside');
    engine
      .says('dispose', 'B-1', {
        'as-what': 'use-as-is',
        reason: 'the sample held',
        letter: 'l.pdf',
        'letter-sha256': 'a'.repeat(64),
        author: 'Pell',
      })
      .taken();
    expect(openOf(engine)).toEqual([]);
    engine.says('finish', 'mix').taken();
    expect(currentStep(engine.job())?.step).toBe('look');
  });

  it('of other weights wants another disposition', () => {
    const engine = outside();
    const letter = { letter: 'l.pdf', 'letter-sha256': 'a'.repeat(64), author: 'Pell' };
    engine.says('dispose', 'B-1', { 'as-what': 'use-as-is', reason: 'the sample held', ...letter }).taken();
    engine.says('correct', 'B-1', { value: { 'weights.hardener': '20 g' }, reason: 'read anew' }).taken();
    expect(openOf(engine)).toHaveLength(2);
    engine.says('correct', 'B-1', { value: { 'weights.hardener': '44 g' }, reason: 'right at first' }).taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('puts what was built over it in other jobs in doubt, until it is put right', () => {
    const small2 = small('  - { step: fit, title: Fit, relies-on: [block-line] }\n', 'after: [bond]\n');
    const engine = broken(engineWith([bond, small2], { tools: scale }));
    const below = engine.job().id;
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('complete').taken();
    engine.says('start', 'small').taken();
    engine.says('finish', 'fit').taken();
    const over = engine.job().id;
    expect(openOf(engine, over)).toEqual([]);
    engine
      .in(below)
      .says('correct', 'B-1', { value: { 'weights.hardener': '40 g' }, reason: 'misread' })
      .taken();
    expect(openOf(engine, over)).toEqual([
      expect.stringMatching(
        /^fit relies on block-line, which bond of bond-.* set: B-1, found to be outside its ratio$/,
      ),
    ]);
    engine
      .in(below)
      .says('correct', 'B-1', { value: { 'weights.hardener': '44 g' }, reason: 'right at first' })
      .taken();
    expect(openOf(engine, over)).toEqual([]);
  });

  it('is discarded where nothing was made with it', () => {
    const engine = mixed();
    engine.says('correct', 'B-1', { value: { 'weights.hardener': '40 g' }, reason: 'misread' }).taken();
    expect(engine.job().batches[0]?.discarded?.because).toBe('outside its ratio');
    expect(openOf(engine)).toEqual([]);
  });
});

describe('what a correction shows should have been refused', () => {
  const used = (): Engine => {
    const engine = mixed();
    engine.says('finish', 'mix').taken();
    engine.at('+10min').says('finish', 'bond').taken();
    expect(openOf(engine)).toEqual([]);
    return engine;
  };
  const use = {
    'as-what': 'use-as-is',
    reason: 'it holds',
    letter: 'l.pdf',
    'letter-sha256': 'a'.repeat(64),
    author: 'Pell',
  };

  it.each([
    [
      'the size of a batch',
      'B-1',
      { 'weights.resin': '200 g', 'weights.hardener': '88 g' },
      'wrong size: a batch of 288 g',
    ],
    ['its lot without a use-by', 'lot', { 'use-by': 'none' }, 'without a lot, or without its use-by'],
    ['its lot expired', 'lot', { 'use-by': '2026-01-31' }, 'good only until 2026-01-31'],
  ] as const)('is a nonconformance by name: %s', (_name, target, value, what) => {
    const engine = used();
    const entry = target === 'lot' ? (engine.job().lots[0]?.entry ?? '') : target;
    engine.says('correct', entry, { value: value as unknown as string, reason: 'misread' }).taken();
    expect(openOf(engine)).toEqual([expect.stringContaining(what)]);
    engine.says('dispose', 'B-1', use).taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('ends when it is put right again', () => {
    const engine = used();
    engine
      .says('correct', 'B-1', { value: { 'weights.resin': '200 g', 'weights.hardener': '88 g' }, reason: 'a' })
      .taken();
    engine
      .says('correct', 'B-1', { value: { 'weights.resin': '100 g', 'weights.hardener': '44 g' }, reason: 'b' })
      .taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('is the shop, where the temperature of the mix or the hygrometer was misread', () => {
    const engine = dryFitted(
      bond.replace('gather:\n', 'gather:\n  shop: { temperature: 18 to 28 °C, humidity: at most 70 % }\n'),
    );
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('shop', undefined, { humidity: '55 %' }).taken();
    const shop = last(engine);
    engine.says('mix', 'mix', { ...good, temperature: '20 °C' }).taken();
    engine.says('finish', 'mix').taken();
    engine.says('correct', 'B-1', { value: { temperature: '15 °C' }, reason: 'misread' }).taken();
    expect(openOf(engine)).toEqual([expect.stringContaining('B-1 mixed, with the shop outside its range')]);
    engine.says('correct', shop, { value: { humidity: '85 %' }, reason: 'misread' }).taken();
    expect(openOf(engine).join()).toContain('shop humidity is 85 %, at most 70 % is wanted');
    engine.says('dispose', 'B-1', { 'as-what': 'rework', reason: 'too cold, too wet' }).taken();
    expect(openOf(engine)).toEqual([expect.stringContaining('not done anew yet')]);
  });

  it('is not raised where a departure said so when it was done', () => {
    const engine = dryFitted(shopBond);
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('depart', 'shop-outside', { says: 'a', did: 'b', because: 'c' }).taken();
    engine.says('mix', 'mix', { ...good, temperature: '15 °C' }).taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('is the pot life, after a late reading of a warm bench or another time of the mix or the finish', () => {
    const late = used();
    late.says('temperature', '20 °C').taken();
    expect(openOf(late)).toEqual([]);
    const warm = mixed();
    warm.says('finish', 'mix').taken();
    warm.at('+15min').says('finish', 'bond').taken();
    warm.at('+10min').says('temperature', '38 °C', {}, '2026-03-02T09:05:00+01:00').taken();
    expect(openOf(warm)).toEqual([
      expect.stringMatching(/^bond finished, after the pot life had ended: the pot life of B-1 ended at /),
    ]);
    warm.says('dispose', 'bond', use).taken();
    expect(openOf(warm)).toEqual([]);
    const slow = dryFitted();
    slow.says('lot', 'adhesive', lot).taken();
    slow.at('+3h').says('mix', 'mix', good).taken();
    slow.says('finish', 'mix').taken();
    slow.at('+10min').says('finish', 'bond').taken();
    const finish = slow.job().steps['bond']?.finished?.entry ?? '';
    slow.says('correct', 'B-1', { value: { when: '2026-03-02T11:20:00+01:00' }, reason: 'the clock' }).taken();
    expect(openOf(slow)).toEqual([expect.stringContaining(': the pot life of B-1 ended at ')]);
    slow.says('correct', finish, { value: { when: '2026-03-02T11:30:00+01:00' }, reason: 'the same clock' }).taken();
    expect(openOf(slow)).toEqual([]);
  });

  it('is a tool out of date, for each value that counts', () => {
    const engine = engineWith([bond.replace('unit: mm, limits: at most', 'unit: mm, tool: scale, limits: at most')], {
      tools: [...scale, { tool: 'SC-2', kind: 'scale', 'in-date-until': '2026-01-31' }],
    });
    engine.says('start', 'bond').taken();
    engine.says('use', 'scale', { tool: 'SC-1' }).taken();
    const entry = last(engine);
    engine.says('read', 'gap', { value: '0.1 mm' }).taken();
    engine.says('correct', entry, { value: 'SC-2', reason: 'the other one' }).taken();
    expect(openOf(engine)).toEqual([expect.stringContaining('SC-2 was in date until 2026-01-31')]);
    engine.says('dispose', 'gap', use).taken();
    expect(openOf(engine)).toEqual([]);
    engine.says('correct', entry, { value: 'SC-1', reason: 'no, it was SC-1' }).taken();
    engine.says('tool', 'SC-1', { found: 'dropped' }, '2026-03-02T08:00:00+01:00').taken();
    expect(openOf(engine)).toEqual([expect.stringContaining('SC-1 was found dropped')]);
    engine.at('+1h').says('tool', 'SC-1', { found: 'checked' }).taken();
    expect(openOf(engine)).toEqual([]);
  });
});
