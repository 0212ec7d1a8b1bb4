import { produce } from 'immer';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changed } from '../../src/job/changed.ts';
import { stampOf, stepDraft, type JobDraft } from '../../src/job/draft.ts';
import { startJob } from '../../src/job/evolve.ts';
import type { JobState } from '../../src/job/state.ts';
import { entryFrom } from '../support/entries.ts';
import { procedureOf } from '../support/engine.ts';
import { planFor } from '../../src/procedure/plan.ts';

/* One change by copying and the same by a general draft. */

const plan = planFor(
  procedureOf(
    'procedure: p\ntitle: P\nrevision: A\nsteps:\n  - step: a\n    title: A\n    do: Look.\n  - step: b\n    title: B\n    do: Look.\n',
  ),
);
const entry = entryFrom({
  id: 'aaaaaaaa:1',
  hash: 'a'.repeat(64),
  at: '2026-03-02T09:00:00+01:00',
  by: 'ines',
  job: '',
  type: 'start',
  data: { procedure: 'p', revision: 'A', sha256: 'b'.repeat(64) },
  also: [],
});
const stamp = stampOf(entry);
const begun: JobState = produce(startJob(entry, plan, ''), (draft) => {
  draft.remarks.push({ ...stamp, text: 'first' });
  draft.looks['b'] = [{ ...stamp, kind: 'release', conditions: [] } as never];
  stepDraft(draft, 'a').with.push('bo');
});

const changes: Readonly<Record<string, (draft: JobDraft) => void>> = {
  nothing: () => {},
  'a list grows': (draft) => draft.remarks.push({ ...stamp, text: 'more' }),
  'a list is replaced': (draft) => (draft.helpers = ['bo']),
  'a list is replaced by an equal one': (draft) => (draft.helpers = []),
  'an item of a list goes': (draft) => draft.remarks.splice(0, 1),
  'an item is changed inside': (draft) => draft.remarks.forEach((one) => (one.text = 'other')),
  'the named step changes': (draft) => stepDraft(draft, 'a').performers.push('ines'),
  'another step changes': (draft) => (stepDraft(draft, 'b').state = 'done'),
  'a new step and its list': (draft) => stepDraft(draft, 'b').acted.push('ines'),
  'a look inside a table': (draft) => draft.looks['b']?.forEach((look) => (look.voided = 'aaaaaaaa:2')),
  'a field comes': (draft) => (draft.completed = stamp),
  'a field goes': (draft) => delete draft.completed,
};

const isDeepFrozen = (value: unknown): boolean =>
  typeof value !== 'object' || value === null || (Object.isFrozen(value) && Object.values(value).every(isDeepFrozen));

describe('a job that is changed by copying', () => {
  it('is the one that a general draft gives, frozen, whatever changes follow each other', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...Object.keys(changes)), { minLength: 1, maxLength: 6 }), (names) => {
        let [ours, general] = [begun, begun];
        for (const name of names) {
          const before = JSON.stringify(ours);
          const next = changed(ours, { step: 'a', reading: undefined }, (draft) => {
            changes[name]?.(draft);
          });
          expect(JSON.stringify(ours)).toBe(before);
          general = produce(general, (draft) => {
            changes[name]?.(draft);
          });
          expect(next).toEqual(general);
          // a plan holds quantities, which are objects of a class and never change
          const { plan: _plan, ...own } = next;
          expect(Object.isFrozen(next)).toBe(true);
          expect(Object.entries(own).filter(([, value]) => !isDeepFrozen(value))).toEqual([]);
          ours = next;
        }
      }),
    );
  });

  it('keeps what has not changed as the same object', () => {
    const next = changed(begun, { step: 'a' }, changes['a list grows'] ?? (() => {}));
    expect(next.steps).toBe(begun.steps);
    expect(next.log).toBe(begun.log);
    expect(next.remarks[0]).toBe(begun.remarks[0]);
    expect(changed(begun, { step: 'a' }, () => {})).toBe(begun);
  });
});
