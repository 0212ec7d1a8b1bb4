import { produce } from 'immer';
import { describe, expect, it } from 'vitest';
import { setStepAside, wantedOf } from '../../src/job/parts/all.ts';
import type { JobState } from '../../src/job/state.ts';
import { stepOf } from '../../src/procedure/plan.ts';
import { engineWith } from '../support/engine.ts';
import { dryFitted, small } from './fixtures.ts';

const everyPart = small(`
  - step: all
    title: All of it
    readings:
      - { reading: gap, unit: mm, limits: at most 0.2 mm, positions: [root, tip], source: invented }
      - { reading: bore, unit: mm, source: invented }
      - { reading: pin, unit: mm, limits: at most bore, source: invented }
    tighten: { fasteners: 2, order: [2, 1], torque: 20 to 25 in·lb, mark: true, source: invented }
    loose: [{ item: cotter, count: 2, left: open, because: checked later, before: hull-close }]
    photo: [{ photo: nuts, show: both nuts }]
    hold: { kind: witness, by: witness, look-for: [marks] }
`);

const stepIn = (job: JobState, id: string) => {
  const step = stepOf(job.plan, id);
  if (!step) throw new Error(`no step ${id}`);
  return step;
};

const wantsNow = (job: JobState, step: string) =>
  wantedOf(job, stepIn(job, step)).map(({ part, what }) => [part, what]);

describe('what a step still wants', () => {
  it('is listed in the order in which a person does it, each with the part that asks for it', () => {
    const engine = engineWith([everyPart]);
    engine.says('start', 'small').taken();
    expect(wantsNow(engine.job(), 'all')).toEqual([
      ['reading', 'gap at root'],
      ['reading', 'gap at tip'],
      ['reading', 'bore'],
      ['reading', 'pin'],
      ['tighten', 'fastener 2: torque, mark'],
      ['tighten', 'fastener 1: torque, mark'],
      ['hold', 'an invitation to the witness'],
      ['loose', 'cotter left open, counted'],
      ['photo', 'a picture: both nuts'],
    ]);
  });

  it('names the slot of an earlier value that the limits of another need', () => {
    const engine = engineWith([everyPart]);
    engine.says('start', 'small').taken();
    engine.says('read', 'pin', { value: '6 mm' }).taken();
    const wanted = wantedOf(engine.job(), stepIn(engine.job(), 'all'));
    expect(wanted[3]).toMatchObject({
      part: 'reading',
      reading: { reading: 'bore' },
      slot: { n: 1 },
      what: 'bore, which the limits of pin need',
    });
  });

  it('is nothing for a step without parts', () => {
    const job = dryFitted().job();
    expect(wantsNow(job, 'dry-fit')).toEqual([]);
    expect(wantsNow(job, 'mix')).toEqual([['mix', 'a batch of adhesive in its ratio']]);
    expect(wantsNow(job, 'cure')).toEqual([]);
  });
});

describe('a step that is done anew', () => {
  it('keeps what was set aside, and wants everything again', () => {
    const engine = engineWith([everyPart]);
    engine.says('start', 'small').taken();
    engine.says('read', 'gap', { value: '0.1 mm', position: 'root' }).taken();
    engine.says('tighten', 'all', { fastener: 2, torque: '22', mark: true }).taken();
    const job = engine.job();
    const after = produce(job, (draft) => setStepAside(draft, stepIn(job, 'all'), 'w:99'));
    expect(after.tries['gap']?.[0]).toMatchObject({ value: '0.1 mm', superseded: 'w:99' });
    expect(after.fasteners['all']?.[0]).toMatchObject({ torque: '22', superseded: 'w:99' });
    expect(wantsNow(after, 'all')).toHaveLength(9);
  });
});
