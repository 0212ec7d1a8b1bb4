import { describe, expect, it } from 'vitest';
import { carriedFault, type CarriedKind } from '../../src/aircraft/carried.ts';
import { clockFault, clockTroubleAt } from '../../src/aircraft/clock.ts';
import { counting, nextNumber, numberIn } from '../../src/aircraft/numbers.ts';
import type { BuildState } from '../../src/aircraft/state.ts';
import { refusal } from '../../src/fault/fault.ts';
import { engineWith } from '../support/engine.ts';

const page = `procedure: small
title: Small
revision: A
steps:
  - { step: sweep, title: Sweep }
`;

const begun = (): BuildState => {
  const engine = engineWith([page]);
  engine.says('start', 'small').taken();
  return engine.state();
};

describe('the number of a batch or a tag', () => {
  const state: BuildState = { ...begun(), written: { firstone: 1, imxrabcd: 2 }, batches: {}, tags: {} };

  it('given the machine on which the build began, then it counts plainly', () => {
    expect(nextNumber(state, 'batches')).toBe('B-1');
    expect(nextNumber(state, 'batches', 'firstone')).toBe('B-1');
    expect(nextNumber(state, 'tags', 'firstone')).toBe('T-1');
  });

  it('given a machine that joined later, then its number has four letters of its name', () => {
    expect(nextNumber(state, 'batches', 'imxrabcd')).toBe('B-1-imxr');
    expect(nextNumber(state, 'tags', 'imxrabcd')).toBe('T-1-imxr');
  });

  it('each machine and each kind has a count of its own', () => {
    const two = counting(counting(state, 'batches', 'firstone'), 'batches', 'firstone');
    const all = counting(two, 'tags', 'imxrabcd');
    expect([nextNumber(all, 'batches', 'firstone'), nextNumber(all, 'batches', 'imxrabcd')]).toEqual([
      'B-3',
      'B-1-imxr',
    ]);
    expect([nextNumber(all, 'tags', 'firstone'), nextNumber(all, 'tags', 'imxrabcd')]).toEqual(['T-1', 'T-2-imxr']);
  });

  it('given a build without a line, then the first writer counts plainly', () => {
    const empty = { ...state, written: {} };
    expect([nextNumber(empty, 'batches'), nextNumber(empty, 'batches', 'firstone')]).toEqual(['B-1', 'B-1']);
  });

  it('is read out of a tag for sorting', () => {
    expect(['T-12', 'T-3-imxr', 'B-100'].map(numberIn)).toEqual([12, 3, 100]);
  });
});

describe('the true time, as a person enters it', () => {
  const at = '2026-03-02T09:00:00Z';
  it.each([
    ['2026-03-02T09:00:00Z', 'taken'],
    ['2026-03-02T09:02:00Z', 'taken'],
    ['2026-03-02T08:58:00Z', 'taken'],
    ['2026-03-02T10:01:00+01:00', 'taken'],
    ['2026-03-02T09:02:00.001Z', 'clock-differs'],
    ['2026-03-02T08:57:59.999Z', 'clock-differs'],
    ['2026-03-03T09:00:00Z', 'clock-differs'],
    ['nine', 'instant-unreadable'],
  ])('%s at nine: %s', (text, code) => {
    expect(clockFault(text, at)?.code ?? 'taken').toBe(code);
  });
});

describe('the clock before a line is written', () => {
  const now = Date.parse('2026-03-02T09:00:00Z');
  const state: BuildState = { ...begun(), lastAt: now, written: { here: now - 60_000, there: now } };

  it('given a time before the last entry of this machine, then rules on time refuse', () => {
    expect(clockTroubleAt(state, now - 60_001, 'here')).toBe('the clock stands before the last entry');
    expect(clockTroubleAt(state, now - 60_000, 'here')).toBeUndefined();
    expect(clockTroubleAt(state, now - 1, 'here')).toBeUndefined();
    expect(clockTroubleAt(state, now - 1, 'there')).toBeDefined();
  });

  it('given a machine that has written nothing yet, then no time is too early for it', () => {
    expect(clockTroubleAt(state, 0, 'newcomer')).toBeUndefined();
  });

  it('given no machine, then the last entry of all counts', () => {
    expect(clockTroubleAt(state, now - 1, undefined)).toBeDefined();
    expect(clockTroubleAt(state, now, undefined)).toBeUndefined();
  });
});

describe('the signature of a file that was carried in', () => {
  const kind: CarriedKind = { what: 'answer', namespace: 'dryfit-hold' };
  it.each([
    ['signature-namespace', 'answer-namespace', 'sign it with: ssh-keygen -Y sign -n dryfit-hold'],
    ['signature-key', 'answer-key', 'use your own key'],
    ['signature-false', 'answer-signature', 'ask again'],
    ['signature-armour', 'answer-signature', 'ask again'],
  ])('%s is refused as %s, with what to do', (code, named, todo) => {
    const fault = carriedFault(kind, { ...refusal('out-of-order', 'wrong', 'ask again'), code }, 'use your own key');
    expect([fault.kind, fault.code, fault.todo]).toEqual(['refused', named, todo]);
  });
});
