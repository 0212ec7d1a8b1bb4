import { describe, expect, it } from 'vitest';
import { statusOf } from '../../src/aircraft/status.ts';
import { isClosed, isOver, isWithdrawn } from '../../src/job/where.ts';
import { engineWith } from '../support/engine.ts';
import { small } from './fixtures.ts';

const page = small(`  - { step: fit, title: Fit, photo: [{ photo: view, show: the fit }] }
  - { step: measure, title: Measure, readings: [{ reading: gap, unit: mm, limits: at most 0.2 mm, source: invented }] }
`);

const begun = () => {
  const engine = engineWith([page]);
  engine.says('start', 'small').taken();
  return engine;
};

describe('a job that is withdrawn', () => {
  it('was started by mistake: nothing was entered in it', () => {
    const engine = begun();
    engine.says('begin', 'fit').taken();
    engine.says('remark', 'the wrong page').taken();
    engine.says('withdraw', undefined, { because: 'the wrong page' }).taken();
    expect(isWithdrawn(engine.job())).toBe(true);
    expect(isOver(engine.job())).toBe(true);
    expect(isClosed(engine.job())).toBe(false);
    const [status] = statusOf(engine.state(), Date.parse('2026-03-02T10:00:00Z')).jobs;
    expect(status).toMatchObject({ state: 'withdrawn', because: 'the wrong page', waitsFor: [] });
  });

  it('takes nothing more', () => {
    const engine = begun();
    engine.says('withdraw', undefined, { because: 'the wrong page' }).taken();
    engine.says('finish', 'fit').refused('job-closed');
    engine.says('remark', 'and yet').refused('job-closed');
    engine.says('withdraw', undefined, { because: 'twice' }).refused('job-closed');
  });

  it.each([
    ['a value', 'read', 'gap', { value: '0.1 mm' }],
    ['a photo', 'photo', 'view', { file: 'a.jpg', 'file-sha256': 'f'.repeat(64) }],
  ] as const)('has no %s', (_what, verb, object, data) => {
    const engine = begun();
    if (verb === 'read') {
      engine.says('photo', 'view', { file: 'a.jpg', 'file-sha256': 'f'.repeat(64) }).taken();
      engine.says('finish', 'fit').taken();
    }
    engine.says(verb, object, data).taken();
    engine.says('withdraw', undefined, { because: 'no more' }).refused('unfinished');
  });

  it('may have had work that was scrapped whole, and not work that was undone', () => {
    const engine = begun();
    engine.says('photo', 'view', { file: 'a.jpg', 'file-sha256': 'f'.repeat(64) }).taken();
    engine.says('finish', 'fit').taken();
    engine.says('undo', 'fit', { because: 'taken apart' }).taken();
    engine.says('withdraw', undefined, { because: 'no more' }).refused('unfinished');
    engine.says('dispose', 'fit', { 'as-what': 'scrap', reason: 'the part is bent' }).taken();
    engine.says('withdraw', undefined, { because: 'another part is ordered' }).taken();
  });

  it('leaves no loose item behind', () => {
    const engine = begun();
    engine.says('loose', 'plug', { count: 1, left: 'out', because: 'drains', before: 'first-start' }).taken();
    expect(engine.says('withdraw', undefined, { because: 'x' }).refused('unfinished').what).toContain('T-1 plug');
    engine.says('close', 'T-1', { count: 1 }).taken();
    engine.says('withdraw', undefined, { because: 'x' }).taken();
  });

  it('gives its side of a twin to the job before or after it', () => {
    const twins = small(
      '  - { step: angle, title: Angle, readings: [{ reading: angle, unit: °, twin: at most 1 °, source: invented }] }\n',
      'each: [left, right]\n',
    );
    const engine = engineWith([twins]);
    engine.says('start', 'small', { each: 'left' }).taken();
    engine.says('read', 'angle', { value: '10 °' }).taken();
    engine.says('start', 'small', { each: 'left' }).taken();
    engine.says('withdraw', undefined, { because: 'begun twice' }).taken();
    engine.says('start', 'small', { each: 'right' }).taken();
    expect(engine.says('read', 'angle', { value: '10.5 °' }).taken().verdict).toBe('within');
  });
});
