import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import type { RefusalCode } from '../../src/fault/codes.ts';
import type { Moment } from '../../src/job/moment.ts';
import { next } from '../../src/job/next.ts';
import type { Want } from '../../src/job/next/want.ts';
import { currentStep } from '../../src/job/where.ts';
import { parseInstant } from '../../src/quantity/time.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { dryFitted, scale, shopBond, small } from './fixtures.ts';

/** What the open step wants from somebody, at the instant of the last entry or later (`later` in ms). */
const nextFor = (engine: Engine, by = 'ines', later = 0) => {
  const job = engine.job();
  const step = currentStep(job);
  const at = parseInstant(engine.entries().at(-1)?.at ?? '');
  if (!step || !at.ok) throw new Error('no open step');
  const ms = at.value.ms + later;
  const moment: Moment = { around: aroundOf(engine.state(), job, ms), ms, offset: 60, by, with: [] };
  return next(job, step, moment);
};

const shown = (want: Want): string => {
  if (want.want === 'part') return want.wanted.what;
  const isAsked = 'asked' in want && want.asked;
  return `${want.want}${isAsked ? ' (asked)' : ''}`;
};

const wantsOf = (engine: Engine, by = 'ines'): readonly string[] => nextFor(engine, by).wants.map(shown);

const twoBuilders = {
  people: [
    { person: 'first', powers: ['builder' as const] },
    { person: 'second', powers: ['builder' as const] },
  ],
};

const lot = { number: 'L-2', 'use-by': '2026-03-02' };
const good = { weights: { resin: '60 g', hardener: '26.4 g' }, sample: 'S-1' };

describe('helpers', () => {
  const twoSteps = small(`
  - { step: lift, title: Lift it, people: 2 }
  - { step: turn, title: Turn it, people: 2 }
`);

  it('are asked for, as the engine refuses, where a helper of the last step goes on alone with the next', () => {
    const engine = engineWith([twoSteps], twoBuilders).as('first');
    engine.says('start', 'small').taken();
    engine.says('finish', 'lift', { with: ['second'] }).taken();
    expect(nextFor(engine, 'first').wants).toEqual([]);
    expect(nextFor(engine, 'second').wants).toEqual([
      { want: 'helpers', at: 'begin', needed: 1, named: 0, asked: true },
    ]);
    expect(
      nextFor(engine, 'second')
        .refusals()
        .map(({ code }) => code),
    ).toEqual(['helper-missing']);
    engine.as('second').says('finish', 'turn').refused('helper-missing');
    engine.says('begin', 'turn', { with: ['first'] }).taken();
    expect(nextFor(engine, 'second').wants).toEqual([]);
    engine.says('finish', 'turn').taken();
  });

  it('are asked for again at the finish after an interruption, and refuse it', () => {
    const engine = engineWith([twoSteps], twoBuilders).as('first');
    engine.says('start', 'small').taken();
    engine.says('begin', 'lift', { with: ['second'] }).taken();
    engine.says('interrupt').taken();
    expect(nextFor(engine, 'first').wants).toEqual([
      { want: 'helpers', at: 'finish', needed: 1, named: 0, asked: false },
    ]);
    engine.says('finish', 'lift').refused('helper-missing');
  });

  it('are asked for before the batch is weighed, also where somebody else began the mix', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('shop', undefined, { temperature: '20 °C' }).taken();
    expect(nextFor(engine).wants.slice(0, 2)).toMatchObject([{ want: 'begin' }, { want: 'helpers', asked: false }]);
    engine.says('begin', 'mix').taken();
    expect(wantsOf(engine)).toEqual(['helpers', 'a batch of adhesive in its ratio']);
    engine.says('mix', 'mix', good).refused('helper-missing');
    engine.says('depart', 'helper-missing', { says: 'two', did: 'one', because: 'small piece' }).taken();
    expect(wantsOf(engine)).toEqual(['a batch of adhesive in its ratio']);
    expect(
      nextFor(engine)
        .refusals()
        .map(({ code }) => code),
    ).toEqual(['part-missing']);
    engine.says('mix', 'mix', good).taken();
  });
});

describe('what a step still wants, in order', () => {
  it('lists the bond from its first reading to the release', () => {
    const engine = engineWith([shopBond], { tools: scale });
    engine.says('start', 'bond').taken();
    expect(wantsOf(engine)).toEqual(['gap', 'width']);
    engine.says('read', 'gap', { value: '0.3' }).taken();
    expect(wantsOf(engine)).toEqual(['trouble', 'width']);
    engine.says('read', 'gap', { value: '0.15', reason: 'dressed' }).taken();
    engine.says('read', 'width', { value: '12.5' }).taken();
    expect(wantsOf(engine)).toEqual([]);
    engine.says('finish', 'measure').taken();
    engine.says('finish', 'dry-fit').taken();
    expect(wantsOf(engine)).toEqual(['begin', 'helpers', 'lot', 'shop', 'a batch of adhesive in its ratio']);
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('shop', undefined, { temperature: '20 °C' }).taken();
    engine.says('mix', 'mix', { ...good, with: ['marit'] }).taken();
    engine.says('finish', 'mix').taken();
    expect(wantsOf(engine)).toEqual([]);
    expect(nextFor(engine, 'ines', 36 * 60_000).wants).toMatchObject([{ want: 'fresh-glue', life: { batch: 'B-1' } }]);
    engine.says('finish', 'bond').taken();
    expect(wantsOf(engine)).toEqual(['cure']);
    engine.says('temperature', '20 °C').taken();
    engine.at('+200h').says('temperature', '20 °C').taken();
    engine.says('finish', 'cure').taken();
    expect(wantsOf(engine)).toEqual(['the sample S-1 of B-1, broken']);
    engine.says('break', 'S-1', { result: 'held' }).taken();
    engine.says('finish', 'break').taken();
    expect(wantsOf(engine)).toEqual(['look']);
    engine
      .as('tobias')
      .says('refuse', 'look', { findings: ['a gap in the squeeze-out'] })
      .taken();
    expect(nextFor(engine).wants).toMatchObject([{ want: 'look', unanswered: { number: 1 }, open: [{ number: 1 }] }]);
    engine.as('ines').says('answer', '1', { remark: 'filled' }).taken();
    expect(nextFor(engine).wants[0]).not.toHaveProperty('unanswered');
    engine.as('tobias').says('release', 'look').taken();
    expect(wantsOf(engine)).toEqual([]);
  });

  it('asks for a tool once, before the first value taken with it, where its date counts and the build lists one', () => {
    const yaml = small(
      `
  - step: weigh
    title: Weigh it
    readings:
      - { reading: one, unit: g, tool: scale, source: invented }
      - { reading: two, unit: g, tool: scale, source: invented }
`,
      'gather: { tools: [{ tool: scale, in-date: true }] }\n',
    );
    const engine = engineWith([yaml], { tools: scale });
    engine.says('start', 'small').taken();
    expect(wantsOf(engine)).toEqual(['tool', 'one', 'two']);
    engine.says('read', 'one', { value: '1 g' }).refused('tool-out-of-date');
    engine.says('use', 'scale', { tool: 'SC-1' }).taken();
    expect(wantsOf(engine)).toEqual(['one', 'two']);
    const bare = engineWith([yaml]);
    bare.says('start', 'small').taken();
    expect(wantsOf(bare)).toEqual(['one', 'two']);
  });

  it('says how long a wait still takes, and nothing once it is over or overruled by a departure', () => {
    const yaml = small('  - { step: soak, title: Let it soak, wait: 2 h }\n');
    const engine = engineWith([yaml]);
    engine.says('start', 'small').taken();
    const [wait] = nextFor(engine).wants;
    expect(wait).toMatchObject({ want: 'wait', text: '2 h' });
    expect(nextFor(engine, 'ines', 2 * 3_600_000).wants).toEqual([]);
    engine.says('depart', 'wait', { says: '2 h', did: '1 h', because: 'dry air' }).taken();
    expect(wantsOf(engine)).toEqual([]);
  });

  it('asks a witness to look, and does not wait for them', () => {
    const yaml = small(`
  - { step: glue, title: Glue it }
  - { step: look, title: Look, hold: { kind: witness, by: witness, look-for: [a line of glue] } }
`);
    const engine = engineWith([yaml]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'glue').taken();
    expect(wantsOf(engine)).toEqual(['an invitation to the witness', 'look (asked)']);
    engine.says('invite', 'look', { who: 'marit', how: 'by letter' }).taken();
    expect(wantsOf(engine)).toEqual(['look (asked)']);
    engine.says('finish', 'look').taken();
  });
});

describe('wants and refusals', () => {
  const wantFor: Readonly<Partial<Record<RefusalCode, Want['want']>>> = {
    'part-missing': 'part',
    outside: 'trouble',
    undecided: 'trouble',
    'hold-closed': 'look',
    'cure-not-reached': 'cure',
    wait: 'wait',
    'helper-missing': 'helpers',
    'pot-life-over': 'fresh-glue',
  };

  /** Everything for which the finish is refused is among the wants, and every want refuses the finish. */
  const agree = (engine: Engine, by: string, later: number): void => {
    const { wants, refusals } = nextFor(engine, by, later);
    const refused = refusals().flatMap(({ code }) => wantFor[code] ?? []);
    const isBefore = new Set(['begin', 'tool', 'lot', 'shop']);
    const wanted = wants.filter((want) => !isBefore.has(want.want) && !('asked' in want && want.asked));
    expect(new Set(wanted.map(({ want }) => want))).toEqual(
      new Set(refused.filter((want) => !isAskedOnly(wants, want))),
    );
  };

  const isAskedOnly = (wants: readonly Want[], kind: Want['want']): boolean => {
    const own = wants.filter(({ want }) => want === kind);
    return own.length > 0 && own.every((want) => 'asked' in want && want.asked);
  };

  it('agree at every entry of the bond, whoever goes on and whenever', () => {
    const engine = dryFitted();
    const acts: readonly (() => unknown)[] = [
      () => engine.says('lot', 'adhesive', lot).taken(),
      () => engine.says('begin', 'mix').taken(),
      () => engine.says('mix', 'mix', { ...good, with: ['marit'] }).taken(),
      () => engine.says('finish', 'mix').taken(),
      () => engine.says('interrupt').taken(),
      () => engine.says('finish', 'bond').taken(),
      () => engine.says('temperature', '20 °C').taken(),
      () => engine.at('+200h').says('temperature', '20 °C').taken(),
      () => engine.says('finish', 'cure').taken(),
      () => engine.says('break', 'S-1', { result: 'held' }).taken(),
      () => engine.says('finish', 'break').taken(),
      () =>
        engine
          .as('tobias')
          .says('refuse', 'look', { findings: ['a gap'] })
          .taken(),
    ];
    for (const act of acts) {
      act();
      for (const by of ['ines', 'marit']) for (const later of [0, 3_600_000, 3_600_000 * 400]) agree(engine, by, later);
    }
  });
});
