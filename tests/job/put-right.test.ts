import { describe, expect, it } from 'vitest';
import { currentStep } from '../../src/job/where.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { broken, openOf, small } from './fixtures.ts';

/* Departures, dispositions and undoing, each rule with an example that was seen to fail with the rule taken away. */

const paper = { says: 'cut it square', did: 'cut it round', because: 'the jig is round' };

describe('a departure', () => {
  const page = (head = ''): string => small('  - { step: one, title: One }\n', head);

  it('given a designer who builds, when they agree with themselves, then nobody signs beside them', () => {
    const engine = engineWith([page()], {
      people: [
        { person: 'quillon', powers: ['builder', 'designer'] },
        { person: 'ada', powers: ['designer'] },
      ],
    });
    engine.as('quillon').says('start', 'small').taken();
    expect(engine.says('depart', 'manual', { ...paper, agreed: 'quillon' }).taken().also).toEqual([]);
    expect(engine.says('depart', 'manual', { ...paper, agreed: 'ada' }).taken().also).toEqual(['ada']);
  });

  it('given a strict page, when the manual is departed from, then it is recorded, and no refusal is overruled', () => {
    const engine = engineWith([page('strict: true\n')]);
    engine.says('start', 'small').taken();
    engine.says('depart', 'manual', paper).taken();
    engine.says('depart', 'wait', paper).refused('strict');
    expect(engine.job().departures.map(({ code }) => code)).toEqual(['manual']);
  });
});

describe('a disposition', () => {
  const page = small(`
  - { step: cut, title: Cut }
  - step: fit
    title: Fit
    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }]
`);
  const read = (value: string): Engine => {
    const engine = engineWith([page]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'cut').taken();
    engine.says('read', 'gap', { value }).taken();
    return engine;
  };
  const accepted = { reason: 'looked at', 'accepted-by': 'quillon' };

  it('given a value within its limits, when it is accepted as it is, then there is nothing to accept', () => {
    const engine = read('0.5');
    for (const as of ['use-as-is', 'repair'])
      engine.says('dispose', 'gap', { ...accepted, 'as-what': as }).wrong('nothing-outside');
    engine.says('dispose', 'gap', { 'as-what': 'rework', reason: 'a burr' }).taken();
  });

  it('given a value outside, when it is scrapped, then the work begins again at the first step, and reworked, at its own', () => {
    for (const [as, back] of [
      ['scrap', 'cut'],
      ['rework', 'fit'],
    ] as const) {
      const engine = read('1.5');
      const { told } = engine.says('dispose', 'gap', { 'as-what': as, reason: 'too wide' }).taken();
      expect([told, currentStep(engine.job())?.step]).toEqual([[`back to ${back}`], back]);
    }
    expect(read('1.5').says('dispose', 'gap', { 'as-what': 'ask', reason: 'x' }).taken().told).toEqual([]);
  });
});

describe('what is taken apart', () => {
  it('given a step that relies on a feature, when the step that set it or proved it is undone, then both are done anew', () => {
    const page = small(`
  - { step: try, title: Try it dry, proves: [line] }
  - { step: fix, title: Fix it, sets: [line] }
  - { step: paint, title: Paint it }
  - { step: hang, title: Hang the door, relies-on: [line] }
`);
    for (const [undone, open] of [
      ['try', ['try', 'hang']],
      ['fix', ['fix', 'hang']],
      ['paint', ['paint']],
    ] as const) {
      const engine = engineWith([page]);
      engine.says('start', 'small').taken();
      for (const step of ['try', 'fix', 'paint', 'hang']) engine.says('finish', step).taken();
      engine.says('undo', undone, { because: 'crooked' }).taken();
      const { steps } = engine.job();
      expect(Object.keys(steps).filter((step) => steps[step]?.state === 'todo')).toEqual(open);
    }
  });

  it('given a failed sample, when its mix is undone, then the joint that is gone is in doubt no more', () => {
    const engine = broken();
    engine.says('correct', 'S-1', { value: 'failed', reason: 'it was the other piece' }).taken();
    expect(openOf(engine)).toHaveLength(1);
    engine.says('undo', 'mix', { because: 'ground off' }).taken();
    expect(openOf(engine)).toEqual([]);
  });
});
