import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { burstReader, type Arrived } from '../../src/bench/burst.ts';
import type { Key } from '../../src/terminal/keys.ts';
import { handTimers } from '../support/hand-timers.ts';
import type { Fake } from './fake.ts';
import { atCard, atHold, atTorque, mixed, scenes, started } from './scenes.ts';

const page = (fake: Fake): string | undefined => fake.bench.session().pages.at(-1)?.page;

const lastHint = (fake: Fake): string => fake.text().split('\n').at(-2) ?? '';

/** Keys as a terminal sends them, through the reader of bursts, so many ms apart. */
const typing = (fake: Fake): ((text: string, apart: number) => Fake) => {
  const timers = handTimers();
  const reader = burstReader({
    takesText: fake.bench.takesText,
    press: ({ key, burst }) => fake.pressKey(key, burst),
    timers,
  });
  timers.pass(1000);
  return (text, apart) => {
    for (const one of text) {
      timers.pass(apart);
      reader.push(one === '\r' ? { kind: 'named', name: 'enter' } : { kind: 'char', text: one });
    }
    timers.pass(1000);
    return fake;
  };
};

describe('nothing acts that was not seen', () => {
  test('below 40 x 12 no key acts, and none is kept for later', () => {
    const fake = atCard().resize(39, 12);
    const { length } = fake.acts;
    fake.press('b', 'b', 'enter', ' ', '1', 'enter', 'escape');
    expect(fake.acts).toHaveLength(length);
    expect(page(fake)).toBe('walk');
    expect(started().resize(40, 11).press('0.1', 'enter').resize(48, 13).text()).toContain('▏  mm');
    expect(fake.press('ctrl-c').left()).toBe(true);
  });

  test('while the size is changing no key acts, and typed text is kept', () => {
    const fake = started().press('0.1').resize(60, 20);
    fake.bench.resized();
    fake.burst('2', 'enter', 'escape');
    expect(page(fake)).toBe('walk');
    expect(fake.acts.map(({ verb }) => verb)).toEqual(['start']);
    expect(fake.text()).toContain('0 . 1 2');
    expect(fake.press('enter').acts.map(({ verb }) => verb)).toEqual(['start', 'read']);
  });
});

describe('a burst is text, never a command', () => {
  test('a scan at a permanent card begins nothing', () => {
    const fake = atCard();
    const { length } = fake.acts;
    typing(fake)('B-17-0042\r', 1);
    typing(fake)('bbbbb\r', 1);
    expect(fake.acts).toHaveLength(length);
    expect(page(fake)).toBe('walk');
  });

  test('text pasted where no field is open does nothing', () => {
    const fake = started().press('escape');
    typing(fake)(' 23 set', 2);
    expect(page(fake)).toBe('jobs');
    fake.pressKey({ kind: 'paste', text: '1' }, true);
    fake.pressKey({ kind: 'paste', text: '?' }, true);
    expect(page(fake)).toBe('jobs');
  });

  test('the enter of a scan saves an id, and never a quantity', () => {
    const fake = started();
    typing(fake)('4006381333931\r', 1);
    expect(fake.acts.map(({ verb }) => verb)).toEqual(['start']);
    expect(fake.text()).toContain('4 0 0 6 3 8 1 3 3 3 9 3 1');
    const remark = started().press(' ', '1');
    typing(remark)('SN 4006\r', 1);
    expect(remark.acts.at(-1)).toMatchObject({ verb: 'remark', data: { text: 'SN 4006' } });
    expect(remark.text()).toContain('remark: SN 4006');
  });

  test('a scan that begins with a space goes into an empty field whole', () => {
    const fake = started().press(' ', '1');
    typing(fake)(' ?AB 1', 1);
    expect(fake.text()).toContain(' ?AB 1');
  });

  test('fewer than four are keys, however they come', () => {
    expect(page(typing(started())(' 9', 1))).toBe('menu');
    expect(page(typing(started().press('escape'))('1', 1))).toBe('walk');
  });

  test('no character is lost or turned round', () => {
    const chars = fc.array(fc.tuple(fc.constantFrom('a', '1', ' ', '?', 'é'), fc.constantFrom(0, 5, 29, 31, 80)));
    fc.assert(
      fc.property(chars, fc.boolean(), (typed, open) => {
        const timers = handTimers();
        const arrived: Arrived[] = [];
        const reader = burstReader({ takesText: () => open, press: (one) => void arrived.push(one), timers });
        for (const [text, apart] of typed) {
          timers.pass(apart);
          reader.push({ kind: 'char', text });
        }
        timers.pass(100);
        const textOf = (key: Key): string => (key.kind === 'named' ? '' : key.text);
        expect(arrived.map(({ key }) => textOf(key)).join('')).toBe(typed.map(([text]) => text).join(''));
      }),
    );
  });
});

describe('an own key is pressed twice', () => {
  const begun = (fake: Fake): boolean => page(fake) === 'form';

  test('the second press begins, and the first says so', () => {
    const fake = atCard();
    expect(lastHint(fake)).toContain('b b: begin');
    expect(fake.press('b').text()).toContain('b once more');
    expect(begun(fake)).toBe(false);
    expect(begun(fake.press('b'))).toBe(true);
  });

  test('not sooner than 0.4 s, not held down, not later than 5 s', () => {
    expect(begun(atCard().press('b').burst('b'))).toBe(false);
    expect(begun(atCard().press('b').burst('b', 'b', 'b', 'b', 'b', 'b'))).toBe(false);
    expect(begun(atCard().press('b').pass(0.1).press('b'))).toBe(false);
    expect(begun(atCard().press('b').pass(0.1).press('b', 'b'))).toBe(true);
  });

  test('nothing between, and no resize', () => {
    for (const between of ['down', 'f', 'enter', 'x', '?'])
      expect(begun(atCard().press('b', between, ...(between === '?' ? ['escape'] : []), 'b'))).toBe(false);
    expect(begun(atCard().press('b').resize(60, 20).press('b'))).toBe(false);
    expect(begun(atCard().press('b').resize(60, 20).press('b', 'b'))).toBe(true);
  });

  test('a critical step is finished so too', () => {
    const fake = mixed();
    const { length } = fake.acts;
    expect(fake.press('f').acts).toHaveLength(length);
    expect(fake.press('f').acts.at(-1)).toMatchObject({ verb: 'finish' });
  });

  test('enter says which key the step wants', () => {
    expect(atCard().press('enter').text()).toContain('Press b twice');
    expect(mixed().press('enter').text()).toContain('Press f twice');
    expect(atTorque().press('190', 'enter', 'enter').text()).toContain('Press m');
    expect(atHold().press('enter').text()).toContain('Choose with a digit');
  });
});

describe('what was typed is kept', () => {
  test('through escape, in a step and in a form of the menu', () => {
    const fake = started().press(' ', '1', 'a draft', 'escape', 'escape', ' ', '1');
    expect(fake.text()).toContain('a draft');
    fake.press('enter', ' ', '1');
    expect(fake.text()).not.toContain('a draft▏');
  });

  test('between the questions of one form', () => {
    const fake = started().press('0.2', 'enter', '1', '0.14', 'enter', 'sanded', 'escape');
    expect(fake.text()).toContain('0 . 1 4');
    expect(fake.press('enter').text()).toContain('sanded');
  });

  test('a passphrase is not', () => {
    const fake = scenes['hold-passphrase']?.().press('escape', 'enter');
    expect(fake && page(fake)).toBe('passphrase');
    expect(fake?.text()).not.toContain('●●●●●');
  });
});

test('? shows the keys of this screen, and goes back to it', () => {
  for (const name of ['jobs-none', 'start', 'reading', 'menu', 'hold', 'first-run-id', 'choice', 'refused-tool']) {
    const fake = scenes[name]?.() ?? started();
    const before = fake.text();
    const at = page(fake);
    expect(fake.press('?').text(), name).toContain('The keys of this screen');
    expect(page(fake.press('escape')), name).toBe(at);
    expect(fake.text().split('\n')[0], name).toBe(before.split('\n')[0]);
  }
});

test('ctrl-c leaves, from anywhere', () => {
  for (const scene of [started, atHold, () => started().press(' ', '1', 'half')])
    expect(scene().press('ctrl-c').left()).toBe(true);
});
