import { describe, expect, it } from 'vitest';
import { serialize, restore } from '../../src/aircraft/snapshot.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import { msOf } from '../../src/job/cure.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from '../job/fixtures.ts';

const glue = small(
  `
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 % }
`,
  'gather: { materials: [{ material: adhesive }] }\n',
);

const withStock = (...stock: readonly { readonly number: string; readonly quantity?: string }[]): Engine => {
  const engine = engineWith([glue], { stock: stock.map((line) => ({ material: 'adhesive', extended: [], ...line })) });
  engine.says('start', 'small').taken();
  return engine;
};

const left = (engine: Engine) => statusOf(engine.state(), msOf('2026-03-02T09:00:00+01:00')).left;
const cup = { weights: { resin: '100 g', hardener: '44 g' } };

describe('what is left of a lot', () => {
  it('is reduced by each mix, also by a discarded one, and the person is shown what is left and when nothing is', () => {
    const engine = withStock({ number: 'L-1', quantity: '0.4 kg' });
    engine.says('lot', 'adhesive', { number: 'L-1' }).taken();
    expect(left(engine)).toEqual([{ what: 'adhesive L-1', left: '0.4 kg', of: '0.4 kg', isUsedUp: false }]);
    expect(engine.says('mix', 'mix', cup).taken().told).toContain('adhesive L-1: 0.256 kg left');
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '50 g' } }).taken();
    expect(left(engine)[0]?.left).toBe('0.106 kg');
    const last = engine.says('mix', 'mix', cup).taken();
    expect(last.told).toContain('adhesive L-1 is used up: 0.106 kg were left of it by the stock');
    expect(left(engine)[0]).toMatchObject({ left: '-0.038 kg', isUsedUp: true });
    // Using more than the stock lists is never refused: the stock may be wrong, the cup is not.
    engine.says('mix', 'mix', cup).taken();
  });

  it('is reduced for each part by its own lot, and by the corrected weight after a correction', () => {
    const engine = withStock({ number: 'R-1', quantity: '500 g' }, { number: 'H-1', quantity: '220 g' });
    engine.says('lot', 'adhesive', { number: 'R-1', part: 'resin' }).taken();
    engine.says('lot', 'adhesive', { number: 'H-1', part: 'hardener' }).taken();
    engine.says('mix', 'mix', cup).taken();
    expect(left(engine).map((one) => one.left)).toEqual(['400 g', '176 g']);
    const entry = engine.job().batches[0]?.entry;
    engine.says('correct', entry, { value: { resin: '102 g' }, reason: 'the scale read on' }).taken();
    expect(left(engine).map((one) => one.left)).toEqual(['398 g', '176 g']);
    const lines = serialize(engine.state());
    const back = restore((number) => lines[number] ?? '');
    expect(statusOf(back, 0).left).toEqual(statusOf(engine.state(), 0).left);
  });

  it('is not guessed where the stock has no quantity, or one in a unit that no weight can be taken from', () => {
    for (const quantity of [undefined, '2 tins', '1 L']) {
      const engine = withStock({ number: 'L-1', ...(quantity === undefined ? {} : { quantity }) });
      engine.says('lot', 'adhesive', { number: 'L-1' }).taken();
      expect(engine.says('mix', 'mix', cup).taken().told).toEqual(['B-1']);
      expect(left(engine)).toEqual([]);
    }
  });
});
