import { describe, expect, test } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import { fakeBench, type Fake } from './fake.ts';
import { atCard, started } from './scenes.ts';

const job = (fake: Fake) => {
  const found = jobOf(fake.build(), fake.build().jobOrder.at(-1) ?? '');
  if (!found) throw new Error('no job');
  return found;
};

/** Chooses the item with this label, by the digit before it. */
const choose = (fake: Fake, label: string): Fake => {
  const line = fake
    .text()
    .split('\n')
    .find((one) => one.includes(label));
  const digit = /\b\d\b/.exec(line ?? '')?.[0];
  if (digit === undefined) throw new Error(`no item ${label} in\n${fake.text()}`);
  return fake.press(digit);
};

/** The text of the page alone, without the steps beside it, as one line. */
const flat = (fake: Fake): string =>
  fake
    .text()
    .split('\n')
    .map((line) => line.split('│')[0]?.trim())
    .join(' ');

const wide = (fake: Fake): Fake => fake.resize(80, 30);

const plug = `
procedure: plugs
title: Drain the hull
revision: A
steps:
  - step: drain
    title: Take the plugs out
    loose: [{ item: plug, count: 9, left: out, because: the hull dries, before: first-start }]
  - step: refit
    title: Put the plugs back
    closes: [plug]
`;

const skin = `
procedure: skin
title: Skin the bay
revision: A
steps:
  - step: close
    title: Rivet the skin
    covers: [bay]
`;

const cable = `
procedure: cable
title: Route the cable
revision: A
steps:
  - step: route
    title: Pull the cable through
    reaches: [bay]
`;

describe('a step left for later', () => {
  test('says what waits with it before it is left, and then keeps that waiting, with the ways on', () => {
    const fake = wide(atCard());
    choose(fake.press(' '), 'work');
    choose(fake, 'leave this step for later');
    expect(flat(fake)).toContain('Waits with it: Spread and close; Let it cure; Break the sample.');
    fake.press('no glue', 'enter', '2', 'enter');
    expect(job(fake).steps['mix']?.state).toBe('skipped');
    expect(flat(fake)).toContain('close needs mix, which was left for later (T-1)');
    choose(fake, 'do it now: Mix the adhesive');
    expect(fake.text()).toContain('Take up');
    fake.press('the glue has come', 'enter');
    expect(job(fake).loose).toMatchObject([{ tag: 'T-1', closings: [] }]);
    expect(fake.text()).toContain('PERMANENT');
  });

  test('is entered as not done with its reason, from the menu', () => {
    const fake = wide(started());
    choose(fake.press(' '), 'work');
    choose(fake, 'leave this step for later').press('no time', 'enter', '2', 'enter');
    choose(fake.press(' '), 'loose items');
    expect(fake.text()).toContain('do it now: Fit the strut dry');
    expect(fake.text()).not.toContain('not done: Fit the strut dry');
  });
});

describe('a loose item', () => {
  test('that no longer exists ends with a count of 0 and its reason', () => {
    const fake = wide(fakeBench({ procedures: [plug] })).press('enter', 'enter', 'enter');
    fake.press('9', 'enter', 'enter');
    choose(fake.press(' '), 'loose items');
    choose(fake, 'T-1 plug no longer exists').press('the hull was scrapped', 'enter');
    expect(job(fake).closings).toMatchObject([{ tag: 'T-1', count: 0, gone: 9, left: 0 }]);
  });

  test('asks which tag was counted where two are open', () => {
    const fake = wide(fakeBench({ procedures: [plug] })).press('enter', 'enter', 'enter');
    fake.press('9', 'enter');
    choose(fake.press(' '), 'loose items');
    choose(fake, 'leave something loose').press(
      'plug',
      'enter',
      '1',
      'enter',
      'out',
      'enter',
      'one more',
      'enter',
      '2',
      'enter',
      'enter',
      'enter',
    );
    fake.press('enter');
    expect(fake.text()).toContain('Which tag is counted');
    fake.press('1', 'enter', '9', 'enter');
    expect(job(fake).closings).toMatchObject([{ tag: 'T-1', count: 9 }]);
  });
});

describe('a covered area', () => {
  test('is shown before the step that must reach it is begun, with a departure as the way on', () => {
    const fake = wide(fakeBench({ procedures: [skin, cable] }));
    choose(fake.press('enter'), 'Skin the bay').press('enter', 'enter', 'enter', 'enter', 'escape');
    choose(choose(fake, 'start a job'), 'Route the cable').press('enter');
    expect(flat(fake)).toContain('route must reach bay');
    expect(fake.text()).toContain('depart from the manual');
  });
});
