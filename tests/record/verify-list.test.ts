import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { digestOf, inspectedFacts, linesOf } from '../../src/record/inspected.ts';
import { verifyList, type SignedList } from '../../src/record/verify-list.ts';
import { engineWith } from '../support/engine.ts';
import { recordFrom } from './fixture.ts';

const page = (revision: string, limits: string): string => `procedure: small
title: Small
revision: ${revision}
steps:
  - { step: drill, title: Drill, readings: [{ reading: hole, unit: mm, limits: ${limits}, source: invented }] }
  - { step: pull, title: Pull, tighten: { fasteners: 1, torque: 18 to 24 N·m, mark: true, source: invented } }
  - { step: look, title: Have it looked at, hold: { by: inspector } }
  - { step: last, title: Sweep }
`;

type Engine = ReturnType<typeof engineWith>;

/** What a person might do next; whatever the rules refuse is not done. */
const acts: Readonly<Record<string, (engine: Engine, n: number) => void>> = {
  read: (engine, n) => engine.says('read', 'hole', { value: `${3.8 + n / 20} mm`, reason: 'again' }).fault(),
  correct: (engine, n) => engine.says('correct', 'hole', { value: `${3.9 + n / 40} mm`, reason: 'misread' }).fault(),
  late: (engine) =>
    engine.says('correct', 'hole', { value: { when: engine.entries()[5]?.at ?? '' }, reason: 'earlier' }).fault(),
  pull: (engine, n) =>
    engine.says('tighten', 'pull', { fastener: 1, torque: `${15 + n} N·m`, mark: true, reason: 'again' }).fault(),
  dispose: (engine) => engine.says('dispose', 'hole', { 'as-what': 'rework', reason: 'plugged' }).fault(),
  depart: (engine) => engine.says('depart', 'manual', { says: 'a', did: 'b', because: 'c' }).fault(),
  undo: (engine) => engine.says('undo', 'drill', { because: 'crooked' }).fault(),
  move: (engine) => engine.says('move', 'B').fault(),
  skip: (engine) => engine.says('skip', 'pull', { because: 'no bolts', before: 'hull-close' }).fault(),
  drilled: (engine) => engine.says('finish', 'drill').fault(),
  pulled: (engine) => engine.says('finish', 'pull').fault(),
  looked: (engine) => engine.says('finish', 'look').fault(),
  answer: (engine, n) => engine.says('answer', (n % 3) + 1, { remark: 'done' }).fault(),
};

const steps = fc.array(
  fc.record({
    act: fc.constantFrom(...Object.keys(acts), 'release', 'refuse', 'reinspect'),
    n: fc.integer({ min: 0, max: 12 }),
  }),
  { minLength: 10, maxLength: 40 },
);

describe('a list that was signed at a look', () => {
  it('is what the record says of that time, whatever was entered afterwards', () => {
    const seen = { looks: 0, lines: 0 };
    fc.assert(
      fc.property(steps, (story) => {
        const engine = engineWith([page('A', '4.0 ± 0.1 mm'), page('B', '4.1 ± 0.1 mm')], { gates: ['hull-close'] });
        engine.says('start', 'small').taken();
        engine.says('read', 'hole', { value: '4.5 mm' }).taken();
        engine.says('read', 'hole', { value: '4.05 mm', reason: 'reamed' }).taken();
        engine.says('finish', 'drill').taken();
        engine.says('tighten', 'pull', { fastener: 1, torque: '20 N·m', mark: true }).taken();
        engine.says('finish', 'pull').taken();
        const signed: { readonly entry: string; readonly list: SignedList }[] = [];
        const look = (verb: 'release' | 'refuse' | 'reinspect'): void => {
          const inspected = linesOf(inspectedFacts(recordFrom(engine), 'look'));
          const data = { release: {}, refuse: { findings: ['a burr', 'a gap'] }, reinspect: { remark: 'seen' } }[verb];
          const before = engine.entries().length;
          engine.as('tobias').says(verb, 'look', data).fault();
          engine.as('ines');
          const entry = engine.entries().at(-1);
          if (engine.entries().length > before && entry)
            signed.push({ entry: entry.id, list: { inspected, digest: digestOf(inspected) } });
        };
        for (const { act, n } of story) {
          engine.at('+1m');
          if (act === 'release' || act === 'refuse' || act === 'reinspect') look(act);
          else acts[act]?.(engine, n);
        }
        const document = recordFrom(engine);
        for (const { entry, list } of signed) {
          seen.looks += 1;
          seen.lines += list.inspected.length;
          const found = verifyList(document, 'look', entry, list, 'look');
          expect(
            found.filter(({ level }) => level !== 'ok'),
            list.inspected.join('\n'),
          ).toEqual([]);
        }
      }),
      { numRuns: 150 },
    );
    expect(seen.looks).toBeGreaterThan(50);
  });
});
