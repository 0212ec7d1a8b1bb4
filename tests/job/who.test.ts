import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Data } from '../../src/job/entry.ts';
import type { Verb } from '../../src/job/verbs.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const yaml = small(`
  - step: one
    title: One
    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: x }]
    photo: [{ photo: face, show: the face }]
  - step: bolts
    title: Bolts
    tighten: { fasteners: 1, torque: 20 to 30 N·m, source: x }
  - step: two
    title: Two
    people: 2
  - step: look
    title: Look
    hold: { by: inspector, look-for: [the gap] }
`);

const people = [
  { person: 'ines', name: 'Ines Falk', powers: ['builder'] as const },
  { person: 'tobias', name: 'Tobias Hesk', powers: ['builder', 'inspector', 'designer'] as const },
  { person: 'vera', name: 'Vera Sand', powers: ['inspector'] as const },
  { person: 'marit', powers: ['adviser', 'witness'] as const },
];

const begun = (): Engine => {
  const engine = engineWith([yaml], { people: people.map((one) => ({ ...one, powers: [...one.powers] })) });
  engine.says('start', 'small').taken();
  return engine;
};

/** The job up to its hold. Of the acts before it, those under a verb's name are by somebody else, or with them. */
const toLook = (others: Readonly<Record<string, string>>, named: Data = {}): Engine => {
  const engine = begun();
  const does = (key: string, verb: Verb, object: string, data: Data): void => {
    engine
      .as(others[key] ?? 'ines')
      .says(verb, object, data)
      .taken();
  };
  does('begin', 'begin', 'one', named);
  does('read', 'read', 'gap', { value: '0.5' });
  does('photo', 'photo', 'face', { file: 'a.jpg', 'file-sha256': 'a'.repeat(64) });
  does('finish', 'finish', 'one', {});
  does('tighten', 'tighten', 'bolts', { fastener: 1, torque: '25 N·m' });
  engine.as('ines').says('finish', 'bolts').taken();
  if ('correct' in others) does('correct', 'correct', 'gap', { value: '0.6', reason: 'misread' });
  engine
    .as('ines')
    .says('finish', 'two', { with: ['bo'] })
    .taken();
  return engine;
};

describe('who performed (rule 3)', () => {
  it.each(['begin', 'read', 'photo', 'finish', 'tighten', 'correct'])('counts whoever did a %s', (verb) => {
    toLook({ [verb]: 'tobias' })
      .as('tobias')
      .says('release', 'look')
      .refused('own-work');
    toLook({ [verb]: 'tobias' })
      .as('vera')
      .says('release', 'look')
      .taken();
  });

  it('counts whoever took it apart, and whoever answered a finding', () => {
    const undone = toLook({});
    undone.as('tobias').says('undo', 'two', { because: 'crooked' }).taken();
    undone
      .as('ines')
      .says('finish', 'two', { with: ['bo'] })
      .taken();
    undone.as('tobias').says('release', 'look').refused('own-work');
    const answered = toLook({});
    answered
      .as('vera')
      .says('refuse', 'look', { findings: ['dust'] })
      .taken();
    answered.as('tobias').says('answer', 1, { remark: 'swept' }).taken();
    answered.says('release', 'look').refused('own-work');
    answered.as('vera').says('release', 'look').taken();
  });

  it.each(['tobias', 'Tobias', 'tobias ', 'Tobias Hesk', 'TOBÍAS  HESK', 'new:Tobias Hesk', 'bo, Tobias Hesk'])(
    'takes with=%j for the inspector, who cannot release',
    (typed) => {
      const known = typed.startsWith('new:');
      const engine = begun();
      const said = engine.says('begin', 'one', { with: [typed] });
      if (known) return void said.wrong('person-known');
      said.taken();
      const done = toLook({}, { with: [typed] });
      done.as('tobias').says('release', 'look').refused('own-work');
      done.as('vera').says('release', 'look').taken();
      return undefined;
    },
  );

  it('whoever is matched as a performer cannot release, however their name was typed', () =>
    fc.assert(
      fc.property(
        fc.constantFrom('tobias', 'Tobias Hesk'),
        fc.array(fc.tuple(fc.boolean(), fc.constantFrom('', '\u0301', '\u0308')), { minLength: 11, maxLength: 11 }),
        fc.constantFrom('', ' ', '  '),
        (name, marks, space) => {
          const letters = [...name].map((letter, at) => {
            const [isUpper, accent] = marks[at] ?? [false, ''];
            return letter === ' ' ? ` ${space}` : `${isUpper ? letter.toUpperCase() : letter}${accent}`;
          });
          const engine = toLook({}, { with: [`${space}${letters.join('')}${space}`] });
          engine.as('tobias').says('release', 'look').refused('own-work');
        },
      ),
      { numRuns: 25 },
    ));
});

describe('whoever is named is matched (rule 13)', () => {
  it('asks who is meant where a name is near somebody', () => {
    const engine = begun();
    const fault = engine.says('begin', 'one', { with: ['Hesk'] }).wrong('person-near');
    expect(`${fault.what} ${fault.todo}`).toBe(
      'nobody of the build is called Hesk do you mean Tobias Hesk (tobias)? Write the id; for somebody else write new:Hesk',
    );
    engine.says('advise', 'more clamps', { from: 'Mariy' }).wrong('person-near');
    engine.says('invite', 'look', { who: 'Sand', how: 'telephone' }).wrong('person-near');
    engine.says('depart', 'manual', { says: 'a', did: 'b', because: 'c', agreed: 'Tobiaz' }).wrong('person-near');
    engine.says('begin', 'one', { with: ['new:Hesk'] }).taken();
  });

  it('asks of a corrected name too, and keeps no signature for another who agreed', () => {
    const engine = begun();
    const lines = { says: 'a', did: 'b', because: 'c' };
    engine.says('depart', 'manual', { ...lines, agreed: 'tobias' }).taken();
    const entry = engine.job().departures[0]?.entry ?? '';
    engine.says('correct', entry, { value: { agreed: 'Sand' }, reason: 'another' }).wrong('person-near');
    engine.says('correct', entry, { value: { agreed: 'Pell Osk' }, reason: 'another' }).taken();
    expect(engine.job().departures[0]).toMatchObject({ agreed: 'Pell Osk' });
    expect(engine.job().departures[0]).not.toHaveProperty('agreedBy');
  });

  it('keeps what was typed, and counts people who are introduced later', () => {
    const engine = begun();
    engine.says('begin', 'one', { with: ['Rolf Dahl'] }).taken();
    expect(engine.job().steps['one']?.with).toEqual(['Rolf Dahl']);
    const late = engineWith([yaml], { people: [{ person: 'ines', powers: ['builder'] }] });
    late.says('start', 'small').taken();
    late.says('begin', 'one', { with: ['Hesk'] }).taken();
  });

  it('counts one person once as a helper, and nobody as their own', () => {
    const two = begun();
    two.says('read', 'gap', { value: '0.5' }).taken();
    two.says('photo', 'face', { file: 'a.jpg', 'file-sha256': 'a'.repeat(64) }).taken();
    two.says('finish', 'one').taken();
    two.says('tighten', 'bolts', { fastener: 1, torque: '25 N·m' }).taken();
    two.says('finish', 'bolts').taken();
    two.says('finish', 'two', { with: ['Ines  FALK'] }).refused('helper-missing');
    two.says('finish', 'two', { with: ['Tobias Hesk'] }).taken();
  });

  it('has a designer who agreed sign too, by whatever name they are called', () => {
    const engine = begun();
    const lines = { says: 'a', did: 'b', because: 'c' };
    expect(engine.says('depart', 'manual', { ...lines, agreed: 'tobias hesk' }).taken().also).toEqual(['tobias']);
    expect(engine.says('depart', 'manual', { ...lines, agreed: 'Pell Osk' }).taken().also).toEqual([]);
    expect(engine.job().departures.map(({ agreed, agreedBy }) => [agreed, agreedBy])).toEqual([
      ['tobias hesk', 'tobias'],
      ['Pell Osk', undefined],
    ]);
  });

  it('has whoever accepts sign, and asks of a letter who wrote it', () => {
    const engine = begun();
    engine.says('read', 'gap', { value: '3 mm' }).taken();
    const stands = { 'as-what': 'use-as-is', reason: 'fits' };
    const letter = { letter: 'l.txt', 'letter-sha256': 'b'.repeat(64) };
    engine.says('dispose', 'gap', { ...stands, ...letter }).wrong('field-missing');
    engine.says('dispose', 'gap', { ...stands, author: 'Dagny Roth' }).wrong('field-missing');
    engine.says('dispose', 'gap', { ...stands, 'accepted-by': 'Vera Sand' }).refused('power');
    engine.says('dispose', 'gap', { 'as-what': 'ask', reason: 'unsure', 'accepted-by': 'vera' }).refused('power');
    expect(engine.says('dispose', 'gap', { ...stands, 'accepted-by': 'Tobias HESK ' }).taken().also).toEqual([
      'tobias',
    ]);
    engine.says('dispose', 'gap', { ...stands, ...letter, author: 'Dagny Roth' }).taken();
    expect(engine.job().dispositions.map(({ acceptedBy, author }) => [acceptedBy, author])).toEqual([
      ['tobias', undefined],
      [undefined, 'Dagny Roth'],
    ]);
  });
});

describe('a look from elsewhere', () => {
  it('says what was shown and what could not be judged', () => {
    const engine = toLook({});
    engine.as('vera');
    engine.says('release', 'look', { remote: true }).wrong('field-missing');
    engine.says('release', 'look', { remote: true, shown: 'the seam' }).wrong('field-missing');
    engine.says('release', 'look', { shown: 'the seam' }).wrong('field-missing');
    engine.says('release', 'look', { remote: true, shown: 'the seam', 'not-judged': 'the glue line' }).taken();
    expect(engine.job().looks['look']?.[0]).toMatchObject({ shown: 'the seam', notJudged: 'the glue line' });
  });
});
