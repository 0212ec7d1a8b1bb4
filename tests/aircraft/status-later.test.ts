import { describe, expect, it } from 'vitest';
import { statusOf } from '../../src/aircraft/status.ts';
import { statusLater } from '../../src/aircraft/status-later.ts';
import { statusNow, unchangedUntil } from '../../src/aircraft/status-now.ts';
import { engineWith } from '../support/engine.ts';

const glue = `procedure: glue
title: Glue
revision: A
gather: { materials: [{ material: adhesive }] }
steps:
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, batch: 30 to 150 g, pot-life: [35 min at 20 °C], sample: true, source: invented }
  - step: close
    title: Close
    in-pot-life-of: mix
  - step: cure
    title: Cure
    cure: { of: mix, stages: { handle: 24 h at 18 °C, full: 7 d at 18 °C }, until: handle, floor: 18 °C, reading-every: 12 h, source: invented }
`;

const shopped = glue
  .replace('{ materials:', '{ shop: { temperature: 18 to 28 °C, humidity: at most 70 % }, materials:')
  .replace('procedure: glue', 'procedure: shopped');

describe('a status at a later instant', () => {
  it('equals the status worked out at that instant', () => {
    const engine = engineWith([glue]);
    engine.says('start', 'glue').taken();
    engine
      .says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, sample: 'S-1', temperature: '20 °C' })
      .taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'close').taken();
    engine.says('temperature', '19 °C').taken();
    engine.at('+6h').says('temperature', '19 °C').taken();
    const state = engine.state();
    const first = state.lastAt;
    const early = statusOf(state, first);
    expect(early.jobs[0]?.cures[0]?.stages).toHaveLength(2);
    expect(early.jobs[0]?.potLife ?? early.jobs[0]?.cures).toBeDefined();
    for (const hours of [0, 1, 17, 18, 19, 24, 48, 24 * 6, 24 * 7, 24 * 365]) {
      const at = first + hours * 3_600_000;
      expect(statusLater(early, at)).toEqual(statusOf(state, at));
      expect(statusNow(state, at)).toEqual(statusOf(state, at));
      expect(statusLater(statusLater(early, first + 1000), at + 1000)).toEqual(statusOf(state, at + 1000));
    }
    // A clock that goes back, and one that is behind the last entry.
    for (const hours of [3, 1, 0, -1, 30, -2])
      expect(statusNow(state, first + hours * 3_600_000)).toEqual(statusOf(state, first + hours * 3_600_000));
    engine.at('+7h').says('temperature', '19 °C').taken();
    expect(statusNow(engine.state(), first + 40 * 3_600_000)).toEqual(statusOf(engine.state(), first + 40 * 3_600_000));
  });

  it('says again that the shop is not known once it was entered too long ago, and is kept no longer than that', () => {
    const engine = engineWith([shopped]);
    engine.says('start', 'shopped').taken();
    engine.says('shop', undefined, { temperature: '20 °C', humidity: '50 %' }).taken();
    const state = engine.state();
    const first = state.lastAt;
    const waits = (at: number): string => statusNow(state, at).jobs[0]?.waitsFor.join('; ') ?? '';
    expect(waits(first)).not.toContain('the shop');
    expect(waits(first + 3 * 3_600_000)).toContain('the shop: temperature, humidity');
    for (const minutes of [0, 7, 61, 110, 119, 120, 121, 600]) {
      const at = first + minutes * 60_000;
      expect(statusNow(state, at)).toEqual(statusOf(state, at));
      const until = unchangedUntil(state, at);
      expect(until).toBeGreaterThanOrEqual(at);
      expect(statusOf(state, until)).toEqual(statusOf(state, at));
    }
  });

  it('of a build with no job under way stays as it is', () => {
    expect(unchangedUntil(engineWith([]).state(), 0)).toBe(Number.MAX_SAFE_INTEGER);
  });
});
