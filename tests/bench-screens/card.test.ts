import { expect, test } from 'vitest';
import { atCard, trial } from './scenes.ts';

const large = { columns: 120, rows: 50 };
const rigging = `procedure: rigging
title: Rig the float
revision: A
after: [bench-trial]
steps:
  - { step: trim, title: Trim it, relies-on: [strut-line-left] }
  - { step: wire, title: Wire the lamp, reaches: [strut-inside] }
`;

test('the card of a permanent step names procedures that nobody has begun yet', () => {
  const covering = trial.replace('in-pot-life-of: mix', 'in-pot-life-of: mix\n    covers: [strut-inside]');
  const text = atCard({ procedures: [covering, rigging], size: large }).text();
  expect(text).toMatch(/needed by +Torque the bolts, Trim it of rigging/);
  expect(text).toMatch(/to reach +strut-inside: wire of rigging/);
});

test('the card names the other side, still to come, where both sides share the name of an area', () => {
  const both = trial.replaceAll('strut-line-<each>', 'strut-line');
  expect(atCard({ procedures: [both], size: large }).text()).toContain('Torque the bolts of bench-trial right');
});
