import { describe, expect, test } from 'vitest';
import { fakeBench, type Fake } from './fake.ts';

/* What a step takes in hand is asked for before it begins: its lots and its serial numbers. The rest is asked for before completion. */

const outlet = `procedure: outlet
title: Fit the outlet
revision: A
gather:
  materials: [{ material: sealant, title: Fuel-proof sealant, lot: true }]
  parts:
    - { part: A1-28-031, title: Outlet elbow, serial: true }
    - { part: A1-28-040, title: Sender, serial: true }
steps:
  - { step: seal, title: Seal and fit, materials: [sealant], parts: [A1-28-031] }
`;

const begun = (): Fake =>
  fakeBench({ procedures: [outlet], size: { columns: 80, rows: 24 } }).press('enter', '1', 'enter');

describe('a step that takes a lot and a part in hand', () => {
  test('asks for both by their labels, then shows them with the step', () => {
    const fake = begun();
    expect(fake.text()).toContain('Lot of Fuel-proof sealant');
    fake.press('S-9', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'lot', data: { material: 'sealant', number: 'S-9' } });
    expect(fake.text()).toContain('Outlet elbow, A1-28-031');
    expect(fake.text()).toContain('As it is marked on the part.');
    fake.press('0417', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'part', data: { part: 'A1-28-031', serial: '0417' } });
    expect(fake.text()).toContain('Materials: Fuel-proof sealant, lot S-9');
    expect(fake.text()).toContain('Parts: Outlet elbow, SN 0417');
  });

  test('asks for what no step names before the job is complete', () => {
    const fake = begun();
    fake.press('S-9', 'enter', 'enter');
    fake.press('0417', 'enter', 'enter');
    fake.press('enter');
    expect(fake.text()).toContain('Sender, A1-28-040');
    fake.press('77', 'enter', 'enter');
    fake.press('enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'complete' });
  });
});
