import { jobOf, type BuildState } from '../../src/aircraft/state.ts';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { nonconformances } from '../../src/job/nonconformances.ts';
import { cureNow, type CureNow } from '../../src/job/cure.ts';
import { parseInstant } from '../../src/quantity/time.ts';
import { engineWith, type Engine } from '../support/engine.ts';

/** One small job that meets every rule: a dry fit as proof, a wet bond, a cure, a sample, a hold. Invented for these tests. */
export const bond = `
procedure: bond
title: Bond a block
revision: A
gather:
  tools: [{ tool: scale, in-date: true }]
  materials: [{ material: adhesive, lot: true, in-date: true }]
steps:
  - step: measure
    title: Measure the gap
    readings:
      - { reading: gap, unit: mm, limits: at most 0.2 mm, source: invented }
      - { reading: width, unit: mm, limits: 12.5 ± 0.1 mm, tries: at most 2, source: invented }
  - step: dry-fit
    title: Fit it dry
    proves: [block-line]
  - step: mix
    title: Mix the adhesive
    people: 2
    mix:
      material: adhesive
      ratio: { resin: 100, hardener: 44 }
      by: weight
      tolerance: 2 %
      batch: 30 to 150 g
      pot-life: [35 min at 20 °C, 20 min at 28 °C]
      sample: true
  - step: bond
    title: Bond the block
    permanent: true
    people: 2
    sets: [block-line]
    in-pot-life-of: mix
  - step: cure
    title: Let it cure
    cure: { of: mix, stages: { handle: 18 h at 18 °C, full: 7 d at 18 °C }, floor: 18 °C }
  - step: break
    title: Break the sample
    break: { of: mix, not-before: handle }
  - step: look
    title: Have it looked at
    hold: { by: inspector, look-for: [squeeze-out along the whole edge], remote: false }
`;

/** The bond with a range for the shop, which must then be known at the mix. */
export const shopBond = bond.replace('gather:\n', 'gather:\n  shop: { temperature: 18 to 28 °C }\n');

export const small = (steps: string, head = ''): string =>
  `procedure: small\ntitle: Small\nrevision: A\n${head}steps:\n${steps}`;

/** The scale that the readings of the bond ask for. */
export const scale = [{ tool: 'SC-1', kind: 'scale', 'in-date-until': '2027-01-31' }];

/** The entries of the bond up to its mix: measured, and fitted dry. */
export const dryFitted = (yaml = bond, engine = engineWith([yaml], { tools: scale })): Engine => {
  engine.says('start', 'bond').taken();
  engine.says('read', 'gap', { value: '0.15' }).taken();
  engine.says('read', 'width', { value: '12.5' }).taken();
  engine.says('finish', 'measure').taken();
  engine.says('finish', 'dry-fit').taken();
  return engine;
};

/** The bond of the fixture with its glue on. The cure began on 2026-03-02 at 12:00 (+01:00). */
export const toCure = (yaml = bond): Engine => {
  const engine = dryFitted(yaml);
  engine.says('lot', 'adhesive', { number: 'L-204', 'use-by': '2027-01-31' }).taken();
  engine.at('2026-03-02T11:50:00+01:00');
  engine
    .says('mix', 'mix', {
      weights: { resin: '100 g', hardener: '44 g' },
      with: 'marit',
      sample: 'S-1',
      temperature: '20 °C',
    })
    .taken();
  engine.says('finish', 'mix').taken();
  engine.at('2026-03-02T12:00:00+01:00').says('finish', 'bond').taken();
  return engine;
};

/** The cure of the fixture's first job, at an instant. */
export const cureIn = (state: BuildState, at: string): CureNow => {
  const job = jobOf(state, state.jobOrder[0] ?? '');
  const instant = parseInstant(at);
  const step = job?.plan.steps.find((one) => one.step === 'cure');
  const now =
    job && step && instant.ok
      ? cureNow(job, step, aroundOf(state, job, instant.value.ms), instant.value.ms)
      : undefined;
  if (!now) throw new Error('no cure');
  return now;
};

/** A lot in date, and a batch of it in its ratio. */
export const lot = { number: 'L-204', 'use-by': '2027-01-31' };
export const good = { weights: { resin: '100 g', hardener: '44 g' }, with: 'marit', sample: 'S-1' };

/** The id of the last entry. */
export const last = (engine: Engine): string => engine.entries().at(-1)?.id ?? '';

/** The bond up to its mix, with B-1 mixed. */
export const mixed = (engine = dryFitted()): Engine => {
  engine.says('lot', 'adhesive', lot).taken();
  engine.says('mix', 'mix', good).taken();
  return engine;
};

/** The bond up to its broken sample, which held. */
export const broken = (build?: Engine): Engine => {
  const engine = mixed(dryFitted(bond, build));
  engine.says('finish', 'mix').taken();
  engine.says('temperature', '20 °C').taken();
  engine.says('finish', 'bond').taken();
  for (const _hours of [1, 2, 3]) engine.at('+10h').says('temperature', '20 °C').taken();
  engine.says('finish', 'cure').taken();
  engine.says('break', 'S-1', { result: 'held' }).taken();
  return engine;
};

/** What is open in a job and wants a disposition. */
export const openOf = (engine: Engine, id?: string): readonly string[] => {
  const job = id === undefined ? engine.job() : engine.job(id);
  return nonconformances(job, aroundOf(engine.state(), job, engine.state().lastAt))
    .filter(({ open }) => open)
    .map(({ what }) => what);
};
