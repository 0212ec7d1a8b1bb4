import { describe, expect, it } from 'vitest';
import type { StockLine } from '../../src/aircraft/file.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { openOf, small } from './fixtures.ts';

/* Parts in quarantine and days of lots. Each example was seen to fail with its rule taken away. */

const page = small(
  '  - { step: fit, title: Fit the elbow, parts: [elbow] }\n  - { step: seal, title: Seal it, materials: [sealant] }\n',
  'gather:\n  materials: [{ material: sealant, lot: true, in-date: true }]\n  parts: [{ part: elbow, serial: true }]\n',
);

const held: StockLine = { part: 'elbow', serial: '0417', quarantine: 'recalled', extended: [] };

const begun = (stock: readonly StockLine[] = []): Engine => {
  const engine = engineWith([page], { stock });
  engine.says('start', 'small').taken();
  return engine;
};

describe('a part in quarantine', () => {
  it('given one that went in and was recalled, when it is taken out again for another, then the step is not refused for it', () => {
    const engine = begun();
    engine.says('part', 'elbow', { serial: '0417' }).taken();
    engine.says('finish', 'fit').taken();
    engine.at('+1h').builds({ stock: [held] });
    engine.says('undo', 'fit', { because: 'recalled' }).taken();
    engine.says('part', 'elbow', { serial: '0418' }).taken();
    engine.says('finish', 'fit').taken();
    expect(openOf(engine)).toEqual([]);
  });

  it('given one that was fitted by a departure, when it is looked at later, then nothing new is in doubt', () => {
    const engine = begun([held]);
    engine.at('+1h').says('part', 'elbow', { serial: '0417' }).taken();
    engine.says('depart', 'lot-expired', { says: 'a good one', did: 'fitted it', because: 'tested here' }).taken();
    engine.says('finish', 'fit').taken();
    expect(openOf(engine)).toEqual([]);
  });
});

describe('a lot that was extended', () => {
  const extended: StockLine = {
    material: 'sealant',
    number: 'S-9',
    'use-by': '2026-02-28',
    extended: [{ to: '2026-06-30', because: 'letter' }],
  };

  it('given a tin whose label is earlier than the one that was extended, when it is used, then its own day counts', () => {
    for (const [label, says] of [
      ['2026-02-28', 'taken'],
      ['2026-02-27', 'lot-expired'],
    ] as const) {
      const engine = begun([extended]);
      engine.says('part', 'elbow', { serial: '1' }).taken();
      engine.says('finish', 'fit').taken();
      engine.says('lot', 'sealant', { number: 'S-9', 'use-by': label }).taken();
      expect(engine.says('finish', 'seal').fault()?.code ?? 'taken').toBe(says);
    }
  });
});
