import { describe, expect, it } from 'vitest';
import { glanceOf } from '../../src/record/glance.ts';
import { engineWith } from '../support/engine.ts';
import { recordFrom, wholeJob } from './fixture.ts';

const page = `procedure: small
title: Small
revision: A
steps:
  - { step: drill, title: Drill, readings: [{ reading: hole, unit: mm, limits: 4.0 ± 0.1 mm, source: invented }] }
  - { step: look, title: Have it looked at, hold: { by: inspector } }
  - { step: paint, title: Paint }
  - { step: last, title: Sweep }
`;

const named = (document: ReturnType<typeof recordFrom>, label: string) =>
  glanceOf(document).find((one) => one.label === label);

describe('a record at a glance', () => {
  it('counts a rework, a refused hold, a voided release and a skip, though all of it was put right', () => {
    const engine = engineWith([page], { gates: ['hull-close'] });
    engine.says('start', 'small').taken();
    engine.says('read', 'hole', { value: '4.5 mm' }).taken();
    engine.says('dispose', 'hole', { 'as-what': 'rework', reason: 'plugged and drilled anew' }).taken();
    engine.says('read', 'hole', { value: '4.05 mm' }).taken();
    engine.says('finish', 'drill').taken();
    engine
      .as('tobias')
      .says('refuse', 'look', { findings: ['a burr'] })
      .taken();
    engine.as('ines').says('answer', 1, { remark: 'taken off' }).taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('skip', 'paint', { because: 'no paint', before: 'hull-close' }).taken();
    engine.says('undo', 'drill', { because: 'wrong bit' }).taken();
    const document = recordFrom(engine);
    expect(named(document, 'Nonconformances')).toMatchObject({
      open: [],
      decided: ['hole: rework, plugged and drilled anew; done anew'],
    });
    expect(named(document, 'Outside or undecided')?.decided).toEqual(['hole 4.5 mm outside']);
    expect(named(document, 'Rework')?.decided).toEqual(['hole: plugged and drilled anew']);
    expect(named(document, 'Holds refused')?.decided).toEqual(['look by tobias']);
    expect(named(document, 'Findings')).toMatchObject({ open: [], decided: ['1 a burr'] });
    expect(named(document, 'Releases voided')?.decided).toEqual(['look by tobias']);
    expect(named(document, 'Left for later')).toMatchObject({ open: ['paint: no paint'] });
    expect(named(document, 'Opened again')?.decided).toContain('drill: wrong bit');
  });

  it('names a cold night, a cup thrown away, corrections and a remote look', () => {
    const document = recordFrom(wholeJob());
    expect(named(document, 'Cure not counted')?.decided.join()).toContain('15 °C: below the floor');
    expect(named(document, 'Batches discarded')?.decided).toHaveLength(1);
    expect(named(document, 'Corrections')?.decided).toContain('219 mm: slipped the point');
    expect(named(document, 'Remote looks')?.decided).toEqual(['inspect by tobias']);
    expect(named(document, 'Looks at own work')?.decided).toEqual([]);
  });
});
