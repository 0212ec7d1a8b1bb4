import { describe, expect, it } from 'vitest';
import { statusOf } from '../../src/aircraft/status.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const coats = small(`
  - step: coat-1
    title: First coat
  - step: rub
    title: Rub it down
  - step: coat-2
    title: Second coat
    no-later-than: { after: coat-1, time: 24 h }
`);

const coated = (): Engine => {
  const engine = engineWith([coats]);
  engine.says('start', 'small').taken();
  engine.says('finish', 'coat-1').taken();
  engine.says('finish', 'rub').taken();
  return engine;
};

describe('the longest interval before a step', () => {
  it('lets the step begin until its last instant, and finish whenever it was begun in time', () => {
    const engine = coated();
    engine.at('+24h').says('begin', 'coat-2').taken();
    engine.at('+2h').says('finish', 'coat-2').taken();
  });

  it('refuses a step begun after it, and names the instant', () => {
    const engine = coated().at('+24h').at('+1min');
    const { what, todo } = engine.says('finish', 'coat-2').refused('too-late');
    expect(what).toContain('by 2026-03-03T09:00:00+01:00');
    expect(todo).toContain('depart too-late');
  });

  it('runs from when the step before was finished, though it is entered later', () => {
    const engine = coated().at('+30h');
    engine.says('begin', 'coat-2', {}, '2026-03-03T08:30:00+01:00').taken();
  });

  it('is in the status as an instant, until the step is begun', () => {
    const engine = coated();
    const beginBy = () => statusOf(engine.state(), 0).jobs[0]?.beginBy;
    expect(beginBy()).toEqual([{ step: 'coat-2', after: 'coat-1', by: '2026-03-03T08:00:00Z' }]);
    engine.says('begin', 'coat-2').taken();
    expect(beginBy()).toEqual([]);
  });

  it('is overruled by a departure, and begins anew when the step before is done again, with what lies on it', () => {
    const engine = coated().at('+25h');
    engine.says('depart', 'too-late', { says: '24 h', did: '25 h', because: 'rain; the coat was keyed' }).taken();
    engine.says('finish', 'coat-2').taken();
    engine.says('undo', 'coat-1', { because: 'stripped' }).taken();
    expect(engine.job().steps['coat-2']?.state).toBe('todo');
    engine.says('finish', 'coat-1').taken();
    engine.at('+1h').says('finish', 'coat-2').taken();
  });
});
