import { describe, expect, it } from 'vitest';
import { inspectionInput, latestInspection } from '../../src/job/inspection.ts';
import type { JobState } from '../../src/job/state.ts';
import { stepOf } from '../../src/procedure/plan.ts';
import { engineWith } from '../support/engine.ts';
import { small } from './fixtures.ts';

const bolted = small(`
  - step: pull
    title: Pull the bolts
    tighten: { fasteners: 2, torque: 18 to 24 N·m, mark: true }
  - step: look
    title: Have them looked at
    hold: { by: inspector, look-for: [a mark on each bolt] }
`);

const seen = (job: JobState, number: 1 | 2) => {
  const hold = stepOf(job.plan, 'look');
  return hold && inspectionInput(job, hold, number);
};

describe('what a hold inspects', () => {
  it('has the fasteners in list 2, which list 1 leaves out', () => {
    const engine = engineWith([bolted]);
    engine.says('start', 'small').taken();
    const before = engine.job();
    engine.says('tighten', 'pull', { fastener: 1, torque: '20 N·m', mark: true }).taken();
    expect(seen(engine.job(), 1)).toEqual(seen(before, 1));
    expect(seen(engine.job(), 2)?.['parts']?.join('\n')).toContain('20 N·m');
    expect(seen(before, 2)?.['parts']).toEqual([]);
  });

  it('has a corrected torque in list 2', () => {
    const engine = engineWith([bolted]);
    engine.says('start', 'small').taken();
    engine.says('tighten', 'pull', { fastener: 1, torque: '20 N·m', mark: true }).taken();
    const before = engine.job();
    const entry = engine.entries().at(-1)?.id ?? '';
    engine.says('correct', entry, { value: '21 N·m', reason: 'misread' }).taken();
    expect(seen(engine.job(), 2)).not.toEqual(seen(before, 2));
  });

  it('names a step that was left for later', () => {
    const engine = engineWith([bolted]);
    engine.says('start', 'small').taken();
    engine.says('skip', 'pull', { because: 'bolts are late', before: 'first-flight' }).taken();
    expect(seen(engine.job(), 2)).toMatchObject({ steps: [], skipped: ['pull'] });
  });

  it('uses the latest list for new answers', () => expect(latestInspection).toBe(2));
});
