import { describe, expect, test } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import type { Fake } from './fake.ts';
import { atMix, mixed, started } from './scenes.ts';

const job = (fake: Fake) => {
  const found = jobOf(fake.build(), fake.build().jobOrder.at(-1) ?? '');
  if (!found) throw new Error('no job');
  return found;
};
const page = (fake: Fake): string => fake.bench.session().pages.at(-1)?.page ?? '';

describe('pot life', () => {
  test('its end rings, says STOP, and drops nothing that is typed', () => {
    const fake = mixed();
    fake.press(' ', '1', 'half a rem');
    fake.pass(34);
    expect(fake.rung()).toBe(0);
    fake.pass(2);
    expect(fake.rung()).toBe(1);
    expect(fake.text()).toContain('STOP pot life of B-1 is over');
    expect(fake.text()).toContain('half a rem▏');
  });

  test('the bell rings every ten seconds and then every minute, until the glue is discarded', () => {
    const fake = mixed().pass(35.1);
    expect(fake.rung()).toBe(1);
    expect(fake.bench.frame().seconds).toBe(true);
    expect(fake.pass(0.1).rung()).toBe(1);
    expect(fake.pass(0.1).rung()).toBe(2);
    expect(fake.pass(2).rung()).toBe(3);
    expect(fake.pass(0.5).rung()).toBe(3);
    expect(fake.pass(0.5).rung()).toBe(4);
    fake.press('1', 'not spread in time', 'enter');
    expect(job(fake).batches.map(({ discarded }) => discarded?.because)).toEqual(['not spread in time']);
    expect(fake.text()).toContain('Weigh the resin');
    expect(fake.pass(5).rung()).toBe(4);
  });

  test('once it is over one can discard the glue or enter a departure, and nothing else', () => {
    const fake = mixed().pass(36);
    fake.press('f', 'f', 'enter');
    expect(job(fake).steps['close']?.state).not.toBe('done');
    fake.press('2', 'within 35 min', 'enter', 'closed at 36 min', 'enter', 'a clamp slipped', 'enter', 'enter');
    expect(job(fake).departures.map(({ code }) => code)).toEqual(['pot-life-over']);
    const rung = fake.rung();
    expect(fake.pass(2).rung()).toBe(rung);
    fake.press('f', 'f');
    expect(job(fake).steps['close']?.state).toBe('done');
  });

  test('another cup can be mixed, with its own number and its own sample', () => {
    const fake = atMix().press('100', 'enter', '44.1', 'enter', 'S-1', 'enter');
    expect(fake.press(' ', '7').text()).toContain('mix another cup');
    const at = fake
      .text()
      .split('\n')
      .find((line) => line.includes('mix another cup'));
    fake.press(/\d/.exec(at ?? '')?.[0] ?? '', '50', 'enter', '22', 'enter', 'S-2', 'enter');
    expect(job(fake).batches.map(({ batch, sample }) => [batch, sample?.id])).toEqual([
      ['B-1', 'S-1'],
      ['B-2', 'S-2'],
    ]);
  });

  test('a clock shows seconds only near the end, so that nothing ticks every second for hours', () => {
    const fake = mixed().press('escape');
    expect(fake.bench.frame().seconds).toBe(false);
    fake.pass(28);
    expect(fake.bench.frame().seconds).toBe(true);
    expect(started().bench.frame().seconds).toBe(false);
  });

  test('while it runs, the bench opens at the open step', () => {
    const fake = mixed().reopen().press('1');
    expect(page(fake)).toBe('walk');
  });
});
