import { describe, expect, it } from 'vitest';
import { standingRelease } from '../../src/job/hold.ts';
import { currentStep } from '../../src/job/where.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const yaml = small(`
  - step: one
    title: One
    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: x }]
  - step: look
    title: Look
    hold: { by: inspector, look-for: [the gap], remote: false }
  - step: two
    title: Two
  - step: see
    title: See
    hold: { kind: witness, by: witness, look-for: [it moves] }
  - step: again
    title: Look again
    hold: { by: inspector, look-for: [two], self: after 24 h }
`);

const toHold = (): Engine => {
  const engine = engineWith([yaml], {
    people: [
      { person: 'ines', powers: ['builder', 'inspector'] },
      { person: 'bo', powers: ['builder'] },
      { person: 'tobias', powers: ['inspector'] },
      { person: 'marit', powers: ['adviser', 'witness'] },
    ],
  });
  engine.says('start', 'small').taken();
  engine.says('read', 'gap', { value: '0.5' }).taken();
  engine.says('finish', 'one', { with: 'bo' }).taken();
  return engine;
};

describe('hold points', () => {
  it('stay closed until a person with the power, who performed none of the work, releases them', () => {
    const engine = toHold();
    engine.says('finish', 'look').refused('hold-closed');
    engine.as('ines').says('release', 'look').refused('own-work');
    engine.as('bo').says('release', 'look').refused('power');
    engine.as('marit').says('release', 'look').refused('power');
    engine.as('tobias').says('release', 'look', { remote: 'true' }).refused('hold-closed');
    engine.as('tobias').says('release', 'look', { remark: 'even' }).taken();
    engine.as('ines').says('finish', 'look').taken();
  });

  it('when refused, have numbered findings that must each be answered, and the refusal stays in the record', () => {
    const engine = toHold();
    engine
      .as('tobias')
      .says('refuse', 'look', { findings: ['glue on the face', 'edge not cut'] })
      .taken();
    engine.says('release', 'look').refused('finding-open');
    engine.as('ines').says('answer', 1, { remark: 'cleaned' }).taken();
    engine.as('tobias').says('release', 'look').refused('finding-open');
    engine.as('ines').says('answer', 3, { remark: 'x' }).wrong('unknown-id');
    engine.says('answer', 2, { remark: 'cut' }).taken();
    engine.as('tobias').says('reinspect', 'look', { remark: 'looked' }).taken();
    engine.as('ines').says('finish', 'look').refused('hold-closed');
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    expect(engine.job().looks['look']?.map((look) => look.kind)).toEqual(['refuse', 'reinspect', 'release']);
    expect(engine.job().findings.every((finding) => finding.closed)).toBe(true);
    engine.says('answer', 2, { remark: 'more' }).wrong('already-closed');
  });

  it('lose their release when a value they inspected is corrected', () => {
    const engine = toHold();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('finish', 'two').taken();
    engine.says('correct', 'gap', { value: '0.6', reason: 'misread' }).taken();
    expect(standingRelease(engine.job(), 'look')).toBeUndefined();
    expect(currentStep(engine.job())?.step).toBe('look');
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    expect(currentStep(engine.job())?.step).toBe('see');
  });

  it('are open again, with the step they cover, after an undo', () => {
    const engine = toHold();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('undo', 'one', { because: 'drilled out' }).taken();
    expect(currentStep(engine.job())?.step).toBe('one');
    engine.says('finish', 'one').refused('part-missing');
    expect(engine.job().tries['gap']?.[0]?.superseded).toBeDefined();
  });
});

describe('findings of two holds', () => {
  const twice = small(`
  - { step: one, title: One }
  - { step: look, title: Look at one, hold: { by: inspector, look-for: [one], of: [one] } }
  - { step: two, title: Two }
  - { step: again, title: Look at two, hold: { by: inspector, look-for: [two], of: [two] } }
`);

  it('given a finding at the second hold, when the first is released anew, then the finding stays open', () => {
    const engine = engineWith([twice]);
    engine.says('start', 'small').taken();
    engine.says('finish', 'one').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('finish', 'two').taken();
    engine
      .as('tobias')
      .says('refuse', 'again', { findings: ['not even'] })
      .taken();
    engine.as('ines').says('undo', 'one', { because: 'drilled out' }).taken();
    engine.says('finish', 'one').taken();
    engine.as('tobias').says('release', 'look').taken();
    expect(engine.job().findings.map(({ closed }) => closed)).toEqual([undefined]);
    engine.as('ines').says('finish', 'look').taken();
    engine.as('tobias').says('release', 'again').refused('finding-open');
  });

  it('given two findings, when the hold is refused again, then its finding is number 3, and the line says so', () => {
    const engine = toHold().as('tobias');
    engine.says('refuse', 'look', { findings: ['glue on the face', 'edge not cut'] }).taken();
    const { data, told } = engine.says('refuse', 'look', { findings: ['not even'] }).taken();
    expect(data).toMatchObject({ numbers: [3] });
    expect(told).toEqual(['findings 3']);
    expect(engine.job().findings.map(({ number }) => number)).toEqual([1, 2, 3]);
  });
});

describe('witness points and re-inspection', () => {
  const toWitness = (): Engine => {
    const engine = toHold();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('finish', 'two').taken();
    return engine;
  };

  it('let the job go on after an invitation, or when the witness came', () => {
    const engine = toWitness();
    engine.says('finish', 'see').refused('part-missing');
    engine.says('invite', 'see', { who: 'marit', how: 'telephone' }).taken();
    engine.says('finish', 'see').taken();
    const came = toWitness();
    came.as('marit').says('release', 'see').taken();
    came.as('ines').says('finish', 'see').taken();
  });

  it('let the performer look again only where the procedure allows it, and after the pause', () => {
    const engine = toWitness();
    engine.says('invite', 'see', { who: 'marit', how: 'telephone' }).taken();
    engine.says('finish', 'see').taken();
    engine.says('release', 'again').refused('wait');
    engine.at('+24h').says('release', 'again').refused('reason-missing');
    engine.says('release', 'again', { reason: 'no inspector comes before May' }).taken();
    expect(engine.job().looks['again']?.[0]).toMatchObject({ self: true });
  });

  it('given a page that lets the performer look again, when a builder who is not an inspector did the work, then they may, and another builder may not', () => {
    const page = small(
      '  - { step: one, title: One }\n  - { step: look, title: Look, hold: { by: inspector, look-for: [one], self: after 24 h } }\n',
    );
    const engine = engineWith([page], { people: ['ines', 'bo'].map((person) => ({ person, powers: ['builder'] })) });
    engine.says('start', 'small').taken();
    engine.says('finish', 'one').taken();
    engine.at('+24h');
    const reason = { reason: 'no inspector comes before May' };
    engine.as('bo').says('release', 'look', reason).refused('power');
    engine.as('ines').says('release', 'look', reason).taken();
  });
});
