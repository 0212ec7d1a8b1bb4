import { expect, test } from 'vitest';
import { jobsOf } from '../../src/aircraft/state.ts';
import { fakeBench, type Fake } from './fake.ts';
import { atBolts, atLot, mixed, started, toLastLine, trial } from './scenes.ts';

/* Refused before the hand moves: what would refuse an act is shown before it is asked for. By keys. */

const waits = `procedure: waits
title: A bond that waits
revision: A
steps:
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, batch: 30 to 150 g, sample: true, source: invented }
  - step: cure
    title: Cure
    cure: { of: mix, stages: { handle: 6 h at 18 °C, full: 7 d at 18 °C }, until: handle, floor: 18 °C, reading-every: 12 h, source: invented }
  - step: break
    title: Break the sample
    break: { of: mix, not-before: full }
`;

const verbs = (fake: Fake): readonly string[] => fake.acts.map(({ verb }) => verb);

test('75 % humidity is refused before the cup, and the shop can be put right from that screen', () => {
  const fake = atLot().press('L-204', 'enter', '2027-01-31', 'enter', '20', 'enter', '19.5', 'enter', '75', 'enter');
  expect(fake.text()).toContain('shop humidity is 75 %');
  expect(fake.text()).not.toContain('Weigh the resin');
  fake.press('1', '20', 'enter', 'enter', '55', 'enter');
  expect(fake.text()).toContain('resin');
  expect(verbs(fake)).not.toContain('mix');
});

test('resin that makes too large a batch is refused at the resin, and nothing is entered', () => {
  const fake = fakeBench({ procedures: [waits] }).press('enter', 'enter', 'enter', '105.2', 'enter');
  expect(fake.text()).toContain('outside 30 to 150 g');
  fake.press('escape');
  expect(fake.text()).toContain('1 0 5 . 2');
  fake.press('ctrl-u', '104.1', 'enter');
  expect(fake.text()).toContain('hardener');
  expect(verbs(fake)).not.toContain('mix');
});

test('a sample is not asked to be broken before its cure: the screen says when, and how much has counted', () => {
  const fake = fakeBench({ procedures: [waits] }).press('enter', 'enter', 'enter');
  fake.press('100', 'enter', '44', 'enter', 'S-2', 'enter', 'enter');
  fake.press('20', 'enter', 'enter').pass(600).press('20', 'enter', 'enter', 'enter');
  expect(fake.text()).toContain('not before Mon 9 Mar about 09:00');
  expect(fake.text()).toContain('full cure: 10 h of 7 d counted');
  expect(fake.text()).not.toContain('What did it show');
  expect(verbs(fake)).not.toContain('break');
});

test('from the menu the same sample is refused before its result is asked', () => {
  const fake = fakeBench({ procedures: [waits] }).press('enter', 'enter', 'enter');
  fake.press('100', 'enter', '44', 'enter', 'S-2', 'enter', 'enter', ' ', '7');
  const at = /(\d) break the sample/.exec(fake.text())?.[1] ?? '';
  fake.press(at);
  expect(fake.text()).toContain('the sample is broken from full on');
  expect(fake.text()).not.toContain('What did it show');
});

test('a wrench out of date is refused before the bolt is pulled; what was pulled already can be written down', () => {
  const fake = atBolts().press('2', 'enter');
  expect(fake.text()).toContain('TW-1 was in date until');
  expect(fake.text()).not.toContain('Drag');
  fake.press('5', '18', 'enter', '190', 'enter', 'the right one was lent', 'enter');
  expect(verbs(fake).at(-1)).toBe('tighten');
});

test('no wrench of the build: the bolt is not asked for', () => {
  const fake = started({
    file: { tools: [] },
    procedures: [
      trial
        .replace(/ {2}- step: dry-fit[\s\S]*?(?= {2}- step: bolts\n)/, '')
        .replace('relies-on: [strut-line-<each>]', 'note: none')
        .replace(', of: [dry-fit, mix, close, bolts]', '')
        .replace(/ {2}- step: break[\s\S]*$/, ''),
    ],
  });
  expect(fake.text()).toContain('no individual torque-wrench is named');
  expect(fake.text()).not.toContain('Drag');
  fake.press('1', 'TW-9', 'enter', '2027-03-04', 'enter');
  expect(fake.text()).toContain('TW-9');
  fake.press('1', 'enter');
  expect(fake.text()).toContain('Drag');
});

test('an inspector whom nobody knows yet is introduced at the hold, and no finding is taken before', () => {
  const people = [{ person: 'ines', name: 'Ines Varrow', powers: ['builder'] as const }];
  const text = `procedure: look
title: A look
revision: A
steps:
  - step: work
    title: Work
  - step: inspect
    title: Inspect
    hold: { by: inspector, look-for: [no gap] }
`;
  const fake = fakeBench({ procedures: [text], file: { people } }).press('enter', 'enter', 'enter', 'enter');
  toLastLine(fake).press('2');
  expect(fake.text()).toContain('Name of the newcomer');
  fake.press('Tobias Hesk', 'enter', '1', 'enter', 'ottermere', 'enter', 'ottermere', 'enter');
  toLastLine(fake).press('1');
  expect(fake.text()).toContain('Tobias Hesk');
  fake.press('1', 'enter', 'enter');
  expect(fake.acts.at(-1)).toMatchObject({ verb: 'release', by: 'tobias-hesk' });
});

test('glue that was spread in its pot life, while dryfit was not open, is entered with its time', () => {
  const fake = mixed().pass(60);
  expect(fake.text()).toContain('it was finished in time');
  const at = /(\d) it was finished in time/.exec(fake.text())?.[1] ?? '';
  fake.press(at, 'soon', 'enter');
  expect(fake.text()).toContain('soon is not a time');
  fake.press('ctrl-u', '50 min ago', 'enter');
  expect(fake.acts.at(-1)).toMatchObject({ verb: 'finish', data: { step: 'close' } });
  expect(fake.text()).toContain('Let it cure');
  const finished = jobsOf(fake.build())[0]?.steps['close']?.finished;
  expect(Date.parse(finished?.at ?? '') - Date.parse(finished?.when ?? '')).toBe(50 * 60_000);
});

test('a value that was read earlier is entered with its time, from the menu', () => {
  const fake = started().pass(30).press(' ', '4');
  const at = /(\d) it happened earlier/.exec(fake.text())?.[1] ?? '';
  fake.press(at, '0.12', 'enter', '20 min ago', 'enter');
  expect(fake.acts.at(-1)).toMatchObject({ verb: 'read', when: expect.stringContaining('T09:') as string });
});

const twin = `procedure: travel
title: Travel of the <each> aileron
revision: A
each: [left, right]
steps:
  - step: up
    title: Aileron up
    readings: [{ reading: up, ask: Aileron up, unit: °, limits: 22 ± 2 °, twin: at most 1 °, source: invented }]
  - step: down
    title: Aileron down
`;

test('two sides that differ too much show both values, their difference, and the way to either', () => {
  const fake = fakeBench({ procedures: [twin] }).press('enter', 'enter', '1', '22.8', 'enter', 'enter', 'escape');
  fake.press('up', 'up', 'down', 'down', 'down', 'enter', 'enter', '2', '21.2', 'enter');
  for (const words of ['22.8', '21.2', '1.6', '1 °']) expect(fake.text()).toContain(words);
  expect(fake.text()).toContain('1 work on the left');
  expect(fake.text()).toContain('2 work on the right');
  fake.press('2', '22.1', 'enter', 'rigged again', 'enter');
  expect(fake.text()).toContain('enter: finish');
});
