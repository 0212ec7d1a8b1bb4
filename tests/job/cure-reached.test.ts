import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { cureNow, msOf } from '../../src/job/cure.ts';
import { stageReachedAt } from '../../src/job/cure-reached.ts';
import { stepOf } from '../../src/procedure/plan.ts';
import { engineWith } from '../support/engine.ts';
import { small } from './fixtures.ts';
import { moreThan } from '../support/tally.ts';

const page = small(`
  - step: glue
    title: Glue it
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, tolerance: 2 %, source: invented }
  - step: cure
    title: Let it cure
    cure: { of: mix, stages: { handle: [4 h at 25 °C, 8 h at 18 °C], full: 20 h at 18 °C }, floor: 18 °C, source: invented }
`);

const nights = fc.array(
  fc.record({ hours: fc.integer({ min: 1, max: 9 }), warmth: fc.integer({ min: 16, max: 27 }) }),
  {
    minLength: 1,
    maxLength: 12,
  },
);

describe('the instant at which a stage was reached', () => {
  it('is the first at which it is', () => {
    let [found, tried] = [0, 0];
    fc.assert(
      fc.property(nights, (readings) => {
        tried += 1;
        const engine = engineWith([page]);
        engine.says('start', 'small').taken();
        engine.says('finish', 'glue').taken();
        engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).taken();
        engine.says('finish', 'mix').taken();
        engine.says('temperature', '20 °C').taken();
        for (const { hours, warmth } of readings) engine.at(`+${hours}h`).says('temperature', `${warmth} °C`).taken();
        const job = engine.job();
        const step = stepOf(job.plan, 'cure');
        if (!step) throw new Error('no cure');
        const last = msOf(engine.entries().at(-1)?.at ?? '');
        const around = aroundOf(engine.state(), job, last);
        const isReached = (stage: string, at: number) =>
          cureNow(job, step, around, at)?.stages.find((one) => one.stage === stage)?.reached;
        for (const stage of ['handle', 'full']) {
          const at = stageReachedAt(job, step, stage, around, last);
          if (at === undefined) expect(isReached(stage, last)).toBe(false);
          else {
            found += 1;
            expect(isReached(stage, at)).toBe(true);
            expect(isReached(stage, at - 1)).toBe(false);
          }
        }
      }),
      { numRuns: 100 },
    );
    expect(found).toBeGreaterThan(moreThan(20, 100, tried));
  });
});
