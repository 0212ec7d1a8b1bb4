import { describe, expect, it } from 'vitest';
import { gatePassedAt } from '../../src/aircraft/gates/passed.ts';
import { engineWith } from '../support/engine.ts';

const page = (id: string, body: string, head = ''): string => `procedure: ${id}
title: Work on ${id}
revision: A
${head}steps:
${body}`;

const cover = page(
  'cover-wing',
  '  - { step: close, title: Close the wing, gate: hull-close }\n',
  'each: [left, right]\n',
);

describe('a gate is passed', () => {
  it('when every planned side has passed it, at the latest of them', () => {
    const engine = engineWith([cover], { pages: true });
    engine.says('start', 'cover-wing', { each: 'left' }).taken();
    engine.says('finish', 'close').taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBeUndefined();
    engine.at('+2h').says('start', 'cover-wing', { each: 'right' }).taken();
    engine.says('finish', 'close').taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBe('2026-03-02T11:00:00+01:00');
    engine.at('+1h').says('undo', 'close', { because: 'a tool is inside' }).taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBeUndefined();
  });

  it('by the sides that the plan of build.yaml names, and by those done before dryfit', () => {
    const engine = engineWith([cover], {
      pages: true,
      plan: [{ procedure: 'cover-wing', each: ['left'] }],
      beforeDryfit: [{ procedure: 'cover-wing', each: 'right', shown: 'paper log', date: '2025-12-01' }],
    });
    engine.says('start', 'cover-wing', { each: 'left' }).taken();
    engine.says('finish', 'close').taken();
    expect(gatePassedAt(engine.state(), 'hull-close')).toBe('2026-03-02T09:00:00+01:00');
  });

  it('never, where nothing passes it', () => {
    expect(gatePassedAt(engineWith([cover], { pages: true }).state(), 'first-start')).toBeUndefined();
    expect(gatePassedAt(engineWith([cover]).state(), 'hull-close')).toBeUndefined();
  });
});
