import { describe, expect, it } from 'vitest';
import type { RecordDocument } from '../../src/record/document.ts';
import { readRecord } from '../../src/record/read.ts';
import { recordText } from '../../src/record/record.ts';
import { verifyValues } from '../../src/record/verify-values.ts';
import { recordHtml, recordPlain } from '../../src/report/record-sheet.ts';
import { engineWith } from '../support/engine.ts';
import { small } from '../job/fixtures.ts';
import { recordFrom } from './fixture.ts';

const yaml = small(`
  - step: one
    title: One
    readings:
      - { reading: shank, ask: Length of the shank, unit: mm, limits: at most 8 mm, source: x }
`);

const torque = { calculation: 'rivet-length', with: { grip: '0.125 in', diameter: '1/8 in' } };

const document = (): RecordDocument => {
  const engine = engineWith([yaml]);
  engine.says('start', 'small').taken();
  engine.says('read', 'shank', { value: '5/16 in', calculated: torque }).taken();
  engine.says('read', 'shank', { value: '7.9375 mm', calculated: torque, reason: 'in millimetres' }).taken();
  engine.says('correct', 'shank', { value: '7.5 mm', reason: 'the shorter one was used' }).taken();
  return recordFrom(engine);
};

type Mutable<T> = T extends object ? { -readonly [Key in keyof T]: Mutable<T[Key]> } : T;

const faults = (
  change: (entered: Mutable<NonNullable<RecordDocument['steps'][0]['readings']>[0]['entered']>) => void,
) => {
  const changed = structuredClone(document()) as Mutable<RecordDocument>;
  change(changed.steps[0]?.readings?.[0]?.entered ?? []);
  return verifyValues(changed as RecordDocument)
    .filter(({ level }) => level === 'fault')
    .map(({ what }) => what);
};

describe('a calculated value in the record', () => {
  it('has its calculation, inputs in the order of the calculation, working and source', () => {
    const [first, second] = document().steps[0]?.readings?.[0]?.entered ?? [];
    expect(first).toMatchObject({
      value: '5/16 in',
      verdict: 'within',
      calculated: {
        calculation: 'rivet-length',
        with: [
          { input: 'grip', is: '0.125 in' },
          { input: 'diameter', is: '1/8 in' },
        ],
      },
    });
    expect(first?.calculated?.working).toContain('0.3125 in');
    expect(first?.calculated?.formula).toContain('Navy');
    expect(second?.calculated).toBeUndefined();
    expect(second?.struck[0]).toMatchObject({ value: '7.9375 mm', calculated: { calculation: 'rivet-length' } });
  });

  it('is read back as it was written', () => {
    const written = document();
    expect(readRecord(Buffer.from(recordText(written)))).toEqual({ ok: true, value: written });
  });

  it('is calculated again by whoever verifies it', () => {
    expect(faults(() => {})).toEqual([]);
    const other = faults(([first]) => {
      if (first) first.value = '0.3 in';
    });
    expect(other).toEqual(['0.3 in is not what rivet-length gives for its inputs']);
    const inputs = faults(([first]) => {
      const grip = first?.calculated?.with[0];
      if (grip) grip.is = '0.1 in';
    });
    expect(inputs).toEqual(['5/16 in is not what rivet-length gives for its inputs']);
  });

  it('is marked as calculated on the printed sheet', () => {
    expect(recordPlain(document())).toContain('5/16 in calculated');
    expect(recordHtml(document())).toContain('calculated by rivet-length from grip 0.125 in, diameter 1/8 in');
  });
});
