import { expect, test } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import { started } from './scenes.ts';

test('what else was said is corrected from the menu, field by field', () => {
  const fake = started().resize(80, 24).press('1.2', 'enter', ' ', '4');
  const row = (label: string): string =>
    /\d/.exec(
      fake
        .text()
        .split('\n')
        .find((line) => line.includes(label)) ?? '',
    )?.[0] ?? 'none';
  fake
    .press(row('correct what else was said'))
    .press(row('why it is taken again'), 'at first', 'enter', 'a slip', 'enter');
  expect(fake.acts.at(-1)).toMatchObject({
    verb: 'correct',
    data: { value: { reason: 'at first' }, reason: 'a slip' },
  });
  expect(jobOf(fake.build(), fake.build().jobOrder[0] ?? '')?.struck.map(({ right }) => right)).toEqual([
    'reason at first',
  ]);
});
