import { describe, expect, it } from 'vitest';
import { fakeBench, type Fake } from './fake.ts';
import { toLastLine } from './scenes.ts';

const twoSteps = `
procedure: two-hands
title: Lift and turn
revision: A
people: 1
steps:
  - { step: lift, title: Lift the wing, people: 2 }
  - { step: turn, title: Turn the wing, people: 2 }
`;

const wetWork = `
procedure: wet-work
title: Bond the plate
revision: A
people: 2
gather:
  materials: [{ material: adhesive, title: Adhesive, lot: true }]
steps:
  - step: mix
    title: Mix the adhesive
    mix:
      material: adhesive
      ratio: { resin: 100, hardener: 44 }
      by: weight
      tolerance: 2 %
      batch: 50 to 200 g
      pot-life: 35 min
      source: invented
  - step: press
    title: Press the plate on
    in-pot-life-of: mix
`;

const people = [
  { person: 'ines', name: 'Ines Varrow', powers: ['builder' as const] },
  { person: 'tobias', name: 'Tobias Hesk', powers: ['builder' as const] },
];

/** The first job is started, and its first step is on the screen. */
const startedWith = (procedure: string): Fake =>
  fakeBench({ procedures: [procedure], file: { people } }).press('enter', 'enter', 'enter');

const jobOf = (fake: Fake): string => fake.build().jobOrder.at(-1) ?? '';
const last = (fake: Fake) => fake.acts.at(-1);
const codes = (fake: Fake): readonly string[] =>
  fake.bench.session().pages.flatMap((page) => (page.page === 'refused' ? [page.fault.code] : []));

/** Signs somebody else on, out of the menu of people. */
const signOn = (fake: Fake, name: string): Fake => {
  fake.press(' ', '8');
  const [, digit = ''] = new RegExp(`(\\d) at the bench: ${name}`).exec(fake.text()) ?? [];
  return fake.press(digit);
};

describe('helpers', () => {
  it('are asked for again when the helper of the step before goes on, and nothing is refused', () => {
    const fake = startedWith(twoSteps).press('tobias', 'enter', 'enter');
    expect(last(fake)).toMatchObject({ verb: 'finish', by: 'ines', data: { step: 'lift' } });
    // Ines has named Tobias: nobody more is needed while she goes on.
    expect(fake.text()).toContain('Turn the wing');
    expect(fake.text()).not.toContain('One more person');
    signOn(fake, 'Tobias Hesk');
    expect(fake.text()).toContain('One more person is needed');
    fake.press('ines', 'enter');
    expect(last(fake)).toMatchObject({ verb: 'begin', by: 'tobias', data: { step: 'turn', with: ['ines'] } });
    fake.press('enter');
    expect(last(fake)).toMatchObject({ verb: 'finish', by: 'tobias', data: { step: 'turn' } });
    expect(codes(fake)).toEqual([]);
    expect(fake.text()).toContain('Every step is finished');
  });

  it('are not asked for after a departure from them, nor is a lot after its own', () => {
    const fake = startedWith(wetWork);
    expect(fake.text()).toContain('1 more, here and ready');
    const depart = (code: string): void =>
      void fake.elsewhere('ines', 'depart', { code, says: 'two', did: 'one', because: 'a small plate' }, jobOf(fake));
    depart('helper-missing');
    fake.press('b', 'b');
    expect(fake.text()).toContain('Lot of Adhesive');
    depart('lot-missing');
    expect(fake.text()).toContain('Weigh the resin');
    fake.press('100', 'enter', '44', 'enter');
    expect(last(fake)).toMatchObject({ verb: 'mix' });
    expect(codes(fake)).toEqual([]);
  });

  it('whose name is near somebody of the build: the bench asks who is meant', () => {
    const fake = startedWith(twoSteps).press('hesk', 'enter');
    expect(fake.text()).toContain('Do you mean Tobias Hesk?');
    fake.pass(1).press('1', 'enter', 'enter');
    expect(fake.acts.findLast(({ verb }) => verb === 'begin')).toMatchObject({
      data: { with: 'tobias' },
    });
    expect(fake.text()).toContain('Turn the wing');
  });

  it('whose name is near, and who is somebody else, is entered as a newcomer', () => {
    const fake = startedWith(twoSteps).press('Rolf, Hesk', 'enter').pass(1).press('2', 'enter', 'enter');
    expect(fake.acts.at(-2)).toMatchObject({ verb: 'begin', data: { step: 'lift', with: 'Rolf, new:Hesk' } });
    expect(fake.text()).toContain('Turn the wing');
  });

  it('matched with whoever is at the bench is nobody more', () => {
    const fake = startedWith(twoSteps).press('INES  varrow', 'enter');
    expect(fake.text()).toContain('Lift the wing');
    fake.press('enter');
    expect(fake.text()).toContain('One more person is needed');
    expect(fake.acts.map(({ verb }) => verb)).not.toContain('finish');
  });
});

const away = `
procedure: away
title: Look from afar
revision: A
steps:
  - { step: fit, title: Fit it }
  - { step: look, title: Have it looked at, hold: { by: inspector, look-for: [the gap] } }
`;

describe('a look from elsewhere', () => {
  it('asks what was shown, and what could not be judged', () => {
    const both = [
      { person: 'ines', name: 'Ines Varrow', powers: ['builder' as const] },
      { person: 'vera', name: 'Vera Sand', powers: ['inspector' as const] },
    ];
    const fake = fakeBench({ procedures: [away], file: { people: both } }).press('enter', 'enter', 'enter', 'enter');
    expect(toLastLine(fake).text()).toContain('3 remote');
    fake.press('3', '1', 'enter');
    expect(fake.text()).toContain('What was shown');
    fake.press('the seam, by telephone camera', 'enter');
    expect(fake.text()).toContain('What could not be judged');
    fake.press('the glue line', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({
      verb: 'release',
      by: 'vera',
      data: { remote: true, shown: 'the seam, by telephone camera', 'not-judged': 'the glue line' },
    });
  });
});
