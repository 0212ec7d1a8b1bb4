import { describe, expect, test } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import { inspectedFacts } from '../../src/record/inspected.ts';
import { recordIn } from '../../src/workshop/records/record-in.ts';
import { fakeBench, type Fake } from './fake.ts';
import { atHold, atMix, atTorque, coldNight, mixed, readHold, refusedHold, started } from './scenes.ts';

const jobNow = (fake: Fake) => {
  const found = jobOf(fake.build(), fake.build().jobOrder.at(-1) ?? '');
  if (!found) throw new Error('no job');
  return found;
};

/** The text of every page of a hold, turned with the arrow from the first to the last. */
const pagesOf = (fake: Fake): readonly string[] => {
  fake.press(...Array<string>(100).fill('up'));
  const of = Number(/page 1 of (\d+)/.exec(fake.text())?.[1] ?? 0);
  return Array.from({ length: of }, (_, index) => {
    if (index > 0) fake.press('down');
    expect(fake.text()).toContain(`page ${index + 1} of ${of}`);
    return fake.text();
  });
};

const words = (text: string): string => text.replace(/[,:;()✓×!]/g, ' ').replace(/\s+/g, ' ');

describe('a hold', () => {
  test.each([
    ['48 x 13', 48, 13],
    ['40 x 12', 40, 12],
    ['200 x 60', 200, 60],
  ])('every leaf of what is signed is on some page, %s', (_, columns, rows) => {
    const fake = refusedHold().resize(columns, rows).press('filled', 'enter', 'wiped', 'enter');
    const document = recordIn(fake.build(), jobNow(fake), { writer: '', seq: 1, hash: '' });
    const names = new Map(document.people.map(({ person, name = person }) => [person, name]));
    // The side column at 200 x 60 is not read by the inspector.
    const pages = pagesOf(fake).map((page) =>
      page
        .split('\n')
        .map((line) => line.split('│')[0] ?? '')
        .join(' '),
    );
    const read = words(pages.join(' '));
    const facts = inspectedFacts(document, 'inspect').filter(({ leaves }) => leaves.length > 0);
    expect(facts.length).toBeGreaterThan(10);
    for (const { line, leaves } of facts)
      for (const leaf of leaves) {
        const said = leaf
          .split(' ')
          .map((word) => names.get(word) ?? word)
          .join(' ')
          .replace(/\b[0-9a-f]{64}\b/g, '');
        if (said !== 'true' && said !== 'false') expect(read, line).toContain(words(said).trim());
      }
  });

  test('offers its answers on the last page alone, and turns one page at a time', () => {
    const fake = atHold();
    expect(fake.text()).toMatch(/release on page \d/);
    expect(fake.text()).not.toContain('1 release');
    expect(fake.press('page-down').text()).toContain('page 2 of');
    expect(fake.press('1').text()).toContain('Read to the last page first');
    expect(readHold().text()).toContain('1 release');
    expect(readHold().press('up', '1').text()).toContain('Read to the last page first');
  });
});

describe('limits as numbers to act on', () => {
  test('a cup: the target in block digits, its band rounded inwards', () => {
    const text = atMix().press('60', 'enter').text();
    expect(text).toContain('25.9 to 26.9 g');
    expect(text).toContain('▀▀█ █▀▀   █ █');
  });

  test('a torque: what the wrench must show, and the exact ends on request', () => {
    const fake = atTorque();
    expect(fake.text()).toContain('178 to 208 in·lb');
    expect(fake.press(' ', '4', ...Array<string>(9).fill('down'), 'enter').text()).toContain('160 to 190 in·lb');
  });
});

test('a value that a step asks to write is shown, rounded as it is to be written', () => {
  const fake = fakeBench({
    procedures: [
      `
procedure: p
title: P
revision: A
steps:
  - step: weigh
    title: Weigh
    readings: [{ reading: left, ask: Left, unit: kg, times: 3 }]
    results: [{ result: left-mean, calculation: mean, from: { value: left } }]
  - step: log
    title: Log
    do: Write the mean into the log book, as it is here.
    readings: [{ reading: logged, ask: As written, unit: kg, limits: left-mean ± 0.05 kg }]
`,
    ],
  }).press('enter', 'enter', 'enter', '10', 'enter', '10', 'enter', '10.1', 'enter', 'enter');
  expect(fake.text()).toContain('to write: Left mean');
  expect(fake.text()).toContain('▄█  █▀█');
  expect(fake.press('10', 'enter', 'enter').text()).toContain('Every step is finished');
});

test('a night that did not count is the answer to the temperature that ends it, with no tick', () => {
  const text = mixed().press('f', 'f', '20', 'enter', 'enter').pass(600).press('15', 'enter', 'enter').text();
  expect(text).toMatch(/! did not count: 09:00 to 19:00, 15\s+°C,\s+below\s+18 °C/);
  expect(text).not.toContain('✓');
});

test('what was entered in a job is listed newest first, with its meaning and what was struck', () => {
  const fake = started().press('0.2', 'enter').press(' ', '4', '1', '1', '0.12', 'enter', 'a slip', 'enter');
  const text = fake.press(' ', '4', '3').text();
  expect(text).toContain('Entries, newest first');
  expect(text.indexOf('Correction')).toBeLessThan(text.indexOf('Largest gap, root: 0.12 mm'));
  expect(text).toContain('✓ within');
  expect(text).toContain('struck: 0.2 mm: a slip');
});

test('the temperatures of a cure are among what was entered', () => {
  const text = coldNight().resize(100, 60).press(' ', '4', '3').text();
  expect(text).toContain('Temperature: 15 °C');
  expect(text).toContain('Batch B-1: resin 100 g, hardener 44.1 g');
});

test('a logger is struck by another job only by its name and the number of its rows', () => {
  const fake = mixed().press('f', 'f', '20', 'enter', 'enter').pass(700).press('20', 'enter', 'enter');
  const file = ['night.csv', 'enter', 'enter', 'enter', 'enter', 'enter'];
  const items = fake.press(' ', '7').resize(100, 40).text();
  const logger = /(\d) temperatures from a logger/.exec(items)?.[1] ?? 'none';
  fake.resize(48, 13);
  fake.press(logger, ...file);
  // Another job, which counts nothing of it.
  fake.press('escape').press(...Array<string>(9).fill('down'), 'enter', 'enter', '2');
  fake.press('0.12', 'enter', ' ', '4', '1');
  const [first = '', ...others] = fake
    .resize(100, 40)
    .text()
    .split('\n')
    .filter((line) => /^ [ >]\d /.test(line));
  expect(first).toContain('Largest gap, root');
  const at = others.findIndex((line) => line.includes('log night.csv'));
  expect(others[at]).toContain('bench-trial left');
  fake.press(String(at + 2), '2', 'enter');
  expect(fake.text()).toContain('type 3');
  fake.press('backspace', '3', 'enter', 'the wrong file', 'enter');
  expect(fake.acts.at(-1)?.data).toMatchObject({ value: 'none', reason: 'the wrong file' });
  expect(fake.acts.at(-1)?.data).not.toHaveProperty('rows');
});
