import { describe, expect, it } from 'vitest';
import { bond, dryFitted, good, lot, scale, small } from './fixtures.ts';
import { engineWith, type Engine } from '../support/engine.ts';

/* Who must be there before the glue is on, and what must be in hand. Each example was seen to fail with its rule taken away. */

/** The bond, where three fit it dry and spread the glue, and one is enough to mix it. */
const forThree = bond
  .replace('title: Fit it dry', 'title: Fit it dry\n    people: 3')
  .replace('title: Mix the adhesive\n    people: 2', 'title: Mix the adhesive')
  .replace('permanent: true\n    people: 2', 'permanent: true\n    people: 3');

const toMix = (yaml = bond): Engine => {
  const engine = dryFitted(yaml);
  engine.says('lot', 'adhesive', lot).taken();
  return engine;
};

/** Three fitted it dry, and the two helpers have gone home. */
const alone = (): Engine => {
  const engine = engineWith([forThree], { tools: scale });
  engine.says('start', 'bond').taken();
  engine.says('read', 'gap', { value: '0.15' }).taken();
  engine.says('read', 'width', { value: '12.5' }).taken();
  engine.says('finish', 'measure').taken();
  engine.says('finish', 'dry-fit', { with: ['marit', 'Bo Ek'] }).taken();
  engine.says('lot', 'adhesive', lot).taken();
  engine.says('interrupt').taken();
  engine.says('resume').taken();
  return engine;
};

describe('helpers at the mix', () => {
  it('given a bond for three, when one helper is named at the mix, then it is refused before the glue is on, and two are enough', () => {
    const engine = alone();
    expect(engine.says('mix', 'mix', good).refused('helper-missing').what).toMatch(/^mix, bond needs 2 .*, 1 named$/);
    engine.says('mix', 'mix', { ...good, with: ['marit', 'Bo Ek'] }).taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'bond').taken();
  });

  it('given one helper named twice, when two are needed, then one is counted', () => {
    const engine = alone();
    engine.says('mix', 'mix', { ...good, with: ['Bo Ek', 'bo  ek'] }).refused('helper-missing');
    engine.says('mix', 'mix', { ...good, with: ['marit', ' Marit'] }).refused('helper-missing');
  });

  it('given a helper from before an interruption, when the glue is mixed after it, then they are asked for anew', () => {
    const engine = toMix();
    const { with: helper, ...unaided } = good;
    engine.says('begin', 'mix', { with: helper }).taken();
    engine.says('interrupt').taken();
    engine.says('resume').taken();
    engine.says('mix', 'mix', unaided).refused('helper-missing');
    engine.says('mix', 'mix', good).taken();
  });
});

describe('what a step with wet glue takes in hand', () => {
  const taking = bond
    .replace('lot: true, in-date: true }', 'lot: true, in-date: true }, { material: tape, lot: true }')
    .replace('materials: [{', 'parts: [{ part: P-1, serial: true }]\n  materials: [{')
    .replace('    in-pot-life-of: mix', '    in-pot-life-of: mix\n    materials: [tape]\n    parts: [P-1]');

  it('given tape and a part for the bond, when neither is named, then the mix is refused, and not the bond with its glue on', () => {
    const engine = toMix(taking);
    engine.says('mix', 'mix', good).refused('lot-missing');
    engine.says('lot', 'tape', { number: 'T-1' }).taken();
    engine.says('mix', 'mix', good).refused('serial-missing');
    engine.says('part', 'P-1', { serial: '7' }).taken();
    engine.says('mix', 'mix', good).taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'bond').taken();
  });
});

describe('lots of single parts of a mix', () => {
  it('given a lot of resin and a later one of hardener, when a batch is mixed, then each part has its own', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', { ...lot, number: 'R-1', part: 'resin' }).taken();
    engine.says('mix', 'mix', good).refused('lot-missing');
    engine.says('lot', 'adhesive', { ...lot, number: 'H-1', part: 'hardener' }).taken();
    engine.says('mix', 'mix', good).taken();
    expect(engine.job().batches[0]?.lots).toEqual({ resin: 'R-1', hardener: 'H-1' });
  });
});

describe('a further cup', () => {
  const inspected = bond.replace(
    '  - step: bond\n',
    '  - step: see\n    title: See the cup\n    hold: { by: inspector, look-for: [even colour], of: [mix] }\n  - step: bond\n',
  );

  it('given a mix that an inspector released, when another cup is mixed, then the release is void', () => {
    const engine = toMix(inspected);
    engine.says('mix', 'mix', good).taken();
    engine.says('finish', 'mix').taken();
    engine.as('tobias').says('release', 'see').taken();
    engine.as('ines').says('finish', 'see').taken();
    engine.says('mix', 'mix', { ...good, sample: 'S-2' }).taken();
    engine.says('finish', 'bond').refused('out-of-order');
    engine.says('finish', 'see').refused('hold-closed');
    engine.as('tobias').says('release', 'see').taken();
    engine.as('ines').says('finish', 'see').taken();
    engine.says('finish', 'bond').taken();
  });
});

describe('a sample that fails', () => {
  /** Complete although its sample is owed: nothing of the page waits for it. */
  const completed = (): Engine => {
    const page = small(
      '  - { step: mix, title: Mix, mix: { material: glue, ratio: { resin: 2, hardener: 1 }, tolerance: 2 %, sample: true } }\n  - { step: lay, title: Lay it, in-pot-life-of: mix }\n',
      'gather: { materials: [{ material: glue }] }\n',
    );
    const engine = engineWith([page]);
    engine.says('start', 'small').taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '50 g' }, sample: 'S-1' }).taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'lay').taken();
    engine.says('complete').taken();
    return engine;
  };

  it('given a complete job, when its sample fails, then the job is open again until the joint is decided', () => {
    const engine = completed();
    engine.at('+24h').says('break', 'S-1', { result: 'failed' }).taken();
    expect(engine.job().reopened).toBeDefined();
    engine.says('complete').refused('nonconformance-open');
  });

  it('given a complete job, when its sample holds, then the job stays complete', () => {
    const engine = completed();
    engine.at('+24h').says('break', 'S-1', { result: 'held' }).taken();
    expect(engine.job().reopened).toBeUndefined();
  });
});
