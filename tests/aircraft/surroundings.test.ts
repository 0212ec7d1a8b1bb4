import { describe, expect, it } from 'vitest';
import { wetMixes } from '../../src/aircraft/status.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { dryFitted, good, lot, openOf, small } from '../job/fixtures.ts';

/* What a job learns of the rest of the build: tools, parts, other sides, and work below it that is in doubt. */

describe('the uncertainty of a tool', () => {
  const page = small(
    '  - step: one\n    title: One\n    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, tool: caliper, decide: guarded, source: invented }]\n',
    'gather: { tools: [{ tool: caliper }] }\n',
  );
  const verdict = (value: string, more: object): unknown => {
    const engine = engineWith([page], { tools: [{ tool: 'CA-1', kind: 'caliper', ...more }] });
    engine.says('start', 'small').taken();
    engine.says('use', 'caliper', { tool: 'CA-1' }).taken();
    const said = engine.says('read', 'gap', { value });
    return said.fault()?.code ?? said.taken().verdict;
  };

  it('given its resolution d and U of its certificate, then U² = 4(d²/12 + u²) with u = U/2: for 0.1 mm and 0.02 mm it is 0.0611 mm', () => {
    const tool = { resolution: '0.1 mm', calibration: '0.02 mm' };
    expect(['0.938', '0.939', '1', '1.001'].map((value) => verdict(value, tool))).toEqual([
      'within',
      'undecided',
      'undecided',
      'outside',
    ]);
  });

  it('given its uncertainty, then that counts; given its resolution alone, or nothing, then the value is not decided', () => {
    expect(['0.95', '0.951'].map((value) => verdict(value, { uncertainty: '0.05 mm' }))).toEqual([
      'within',
      'undecided',
    ]);
    expect(verdict('0.5', { resolution: '0.1 mm' })).toBe('uncertainty');
    expect(verdict('0.5', {})).toBe('uncertainty');
  });
});

describe('a part in quarantine', () => {
  it('given another part with the same serial number, then that one may go in', () => {
    const page = small(
      '  - { step: fit, title: Fit, parts: [elbow, tee] }\n',
      'gather: { parts: [{ part: elbow, serial: true }, { part: tee, serial: true }] }\n',
    );
    const held = { part: 'elbow', serial: '0417', quarantine: 'recalled', extended: [] };
    const fitted = (elbow: string): string => {
      const engine = engineWith([page], { stock: [held, { part: 'elbow', serial: '0418', extended: [] }] });
      engine.says('start', 'small').taken();
      engine.says('part', 'elbow', { serial: elbow }).taken();
      engine.says('part', 'tee', { serial: '0417' }).taken();
      return engine.says('finish', 'fit').fault()?.code ?? 'taken';
    };
    expect([fitted('0417'), fitted('0418')]).toEqual(['lot-expired', 'taken']);
  });
});

describe('the other sides of a twin', () => {
  const page = (id: string): string => `procedure: ${id}
title: Travel of ${id}
revision: A
each: [left, right]
steps:
  - step: up
    title: Up
    readings: [{ reading: angle-up, unit: °, limits: 22 ± 2 °, twin: at most 1 °, source: invented }]
`;

  it('given a procedure whose id begins with the other one, then its sides are not among them', () => {
    const engine = engineWith([page('travel'), page('travel-aft')]);
    engine.says('start', 'travel-aft', { each: 'right' }).taken();
    engine.says('read', 'angle-up', { value: '24°' }).taken();
    engine.says('start', 'travel', { each: 'left' }).taken();
    expect(engine.says('read', 'angle-up', { value: '21°' }).taken().verdict).toBe('within, twin open');
    engine.says('finish', 'up').taken();
    engine.says('start', 'travel', { each: 'right' }).taken();
    expect(engine.says('read', 'angle-up', { value: '21.5°' }).taken().verdict).toBe('within');
  });
});

describe('glue that is wet', () => {
  it('is in use until the last step that needs it wet is finished', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', good).taken();
    engine.says('finish', 'mix').taken();
    expect(wetMixes(engine.job())).toEqual(['mix']);
    engine.says('finish', 'bond').taken();
    expect(wetMixes(engine.job())).toEqual([]);
  });
});

describe('work that was begun because an earlier procedure was complete', () => {
  const glue = (id: string): string => `procedure: ${id}
title: Glue the ${id}
revision: A
each: [left, right]
gather: { materials: [{ material: glue }] }
steps:
  - { step: mix, title: Mix, mix: { material: glue, ratio: { resin: 2, hardener: 1 }, tolerance: 2 %, sample: true } }
  - { step: lay, title: Lay it, in-pot-life-of: mix }
`;
  const skin = `procedure: skin
title: Lay the skin
revision: A
each: [left, right]
after: [spar]
steps:
  - { step: rivet, title: Rivet it }
`;

  const carriedOut = (engine: Engine, each: string, sample: string): string => {
    engine.says('start', 'spar', { each }).taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '50 g' }, sample }).taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'lay').taken();
    engine.says('complete').taken();
    return engine.job().id;
  };
  const riveted = (engine: Engine, each: string): string => {
    engine.at('+1h').says('start', 'skin', { each }).taken();
    engine.says('finish', 'rivet').taken();
    return engine.job().id;
  };

  it('given a failed sample below, then what was built over that side is in doubt, and the other side is not', () => {
    const engine = engineWith([glue('spar'), skin]);
    const left = carriedOut(engine, 'left', 'S-1');
    carriedOut(engine, 'right', 'S-2');
    const over = riveted(engine, 'left');
    const beside = riveted(engine, 'right');
    expect([openOf(engine, over), openOf(engine, beside)]).toEqual([[], []]);
    engine.at('+1h').in(left).says('break', 'S-1', { result: 'failed' }).taken();
    expect(openOf(engine, over)).toHaveLength(1);
    expect(openOf(engine, beside)).toEqual([]);
  });
});
