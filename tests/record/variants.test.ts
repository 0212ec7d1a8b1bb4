import { describe, expect, it } from 'vitest';
import type { RecordDocument } from '../../src/record/document.ts';
import { recordText } from '../../src/record/record.ts';
import { verifyRecord } from '../../src/record/verify.ts';
import { recordPlain } from '../../src/report/record-sheet.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { recordFrom } from './fixture.ts';

const procedure = (steps: string, head = ''): string =>
  `procedure: small\ntitle: Small\nrevision: A\n${head}steps:\n${steps}`;

const width = `
  - step: fit
    title: Fit it
    readings:
      - { reading: width, unit: mm, limits: 12.5 ± 0.1 mm, source: invented }`;

const started = (
  steps: string,
  head = '',
  tools: readonly { tool: string; kind: string; uncertainty: string }[] = [],
): Engine => {
  const engine = engineWith([procedure(steps, head)], { tools });
  engine.says('start', 'small', head.includes('each:') ? { each: 'left' } : {}).taken();
  return engine;
};

/** What verifying says of its holds, the signature of the record left aside. */
const holdFaults = (document: RecordDocument): readonly string[] =>
  verifyRecord({ bytes: Buffer.from(recordText(document)), signers: '' })
    .observations.filter(({ level, where }) => level === 'fault' && where.startsWith('steps'))
    .map(({ what }) => what)
    // nobody signs in these tests
    .filter((what) => !what.endsWith('has no signed answer'));

const notices = (document: RecordDocument): string =>
  verifyRecord({ bytes: Buffer.from(recordText(document)), signers: '' })
    .observations.filter(({ level }) => level === 'notice')
    .map(({ what }) => what)
    .join('\n');

describe('a look by the performer', () => {
  const engine = started(`${width}
  - step: look
    title: Have it looked at
    hold: { by: inspector, self: after 24 h }`);
  engine.says('read', 'width', { value: '12.5 mm' }).taken();
  engine.says('finish', 'fit').taken();
  engine
    .at('+2d')
    .says('release', 'look', { remark: 'looked again with a lens', reason: 'no inspector within 300 km' })
    .taken();
  engine.says('finish', 'look').taken();
  const document = recordFrom(engine);

  it('has its own name and is never shown as an independent inspection', () => {
    expect(document.steps[1]?.hold?.looks).toMatchObject([{ person: 'ines', as: 're-inspection by the performer' }]);
    expect(document.people[0]?.did).toEqual(['performed', 'looked again at own work']);
    expect(recordPlain(document)).toContain('RE-INSPECTION BY THE PERFORMER: not an independent inspection');
    expect(recordPlain(document)).not.toContain('present, looked at the work');
  });

  it('is a notice, not a fault, where the procedure lets the performer look again', () => {
    expect(holdFaults(document)).toEqual([]);
    expect(notices(document)).toContain('not an independent inspection');
  });
});

describe('a witness', () => {
  const engine = started(`${width}
  - step: watch
    title: Show it
    hold: { kind: witness, by: witness }`);
  engine.says('read', 'width', { value: '12.5 mm' }).taken();
  engine.says('finish', 'fit').taken();
  engine.as('marit').says('release', 'watch').taken();
  const document = recordFrom(engine);

  it('who came is recorded as having come, and as having released nothing', () => {
    expect(document.people.find(({ person }) => person === 'marit')?.did).toEqual(['witnessed']);
    expect(recordPlain(document)).toContain('✓ witness came');
    expect(recordPlain(document)).not.toContain('hold released');
    expect(holdFaults(document)).toEqual([]);
  });
});

describe('work that was taken apart', () => {
  const engine = started(`${width}
  - step: look
    title: Have it looked at
    hold: { by: inspector }
  - step: last
    title: Sweep the floor`);
  engine.says('read', 'width', { value: '12.5 mm' }).taken();
  engine.says('finish', 'fit').taken();
  engine.as('tobias').says('release', 'look').taken();
  engine.as('ines').says('finish', 'look').taken();
  engine.says('undo', 'fit', { because: 'wrong way round' }).taken();
  engine.says('read', 'width', { value: '12.4 mm' }).taken();
  const document = recordFrom(engine);

  it('keeps what was there before, set aside, and the release that is void', () => {
    const [before, after] = document.steps[0]?.readings?.[0]?.entered ?? [];
    expect(before).toMatchObject({ value: '12.5 mm', 'set-aside': expect.stringMatching(/^w:\d+$/) as string });
    expect(after).toMatchObject({ value: '12.4 mm' });
    expect(after).not.toHaveProperty('set-aside');
    expect(document.steps[0]?.reopened).toMatchObject([{ because: 'wrong way round' }]);
    expect(document.steps[1]?.hold?.looks[0]?.voided).toBeTruthy();
    const plain = recordPlain(document);
    expect(plain).toContain('set aside by entry');
    expect(plain).toMatch(/✗ hold released; void since entry w:\d+/);
    expect(plain).not.toContain('✓ hold released');
  });
});

describe('the other side', () => {
  const twin = `
  - step: fit
    title: Fit the <each> one
    readings:
      - { reading: angle, unit: °, limits: 22 ± 1 °, twin: at most 1 °, source: invented }`;

  it('is recorded beside this side, with the difference that is allowed', () => {
    const engine = started(twin, 'each: [left, right]\n');
    engine.says('read', 'angle', { value: '22.5 °' }).taken();
    engine.says('finish', 'fit').taken();
    const left = recordFrom(engine);
    expect(left.job.side).toBe('left');
    expect(left.steps[0]?.title).toBe('Fit the left one');
    expect(left.steps[0]?.readings?.[0]?.entered[0]?.verdict).toBe('within, twin open');
    engine.says('complete').taken();
    engine.says('start', 'small', { each: 'right' }).taken();
    engine.says('read', 'angle', { value: '22 °' }).taken();
    const right = recordFrom(engine);
    expect(right.steps[0]?.readings?.[0]).toMatchObject({
      twin: 'at most 1 °',
      'other-sides': [{ side: 'left', values: ['22.5 °'], finished: true }],
      difference: ['0.5 °'],
      entered: [{ verdict: 'within' }],
    });
  });
});

describe('steps', () => {
  const engine = started(`
  - step: look
    title: Look
    readings:
      - { reading: gap, unit: mm, source: invented }
  - step: shim
    title: Shim it
    only-if: { reading: gap, is: more than 0.2 mm }
  - step: paint
    title: Paint it
  - step: last
    title: Sweep`);
  engine.says('read', 'gap', { value: '0.1 mm' }).taken();
  engine.says('finish', 'look').taken();
  engine.says('skip', 'paint', { because: 'no paint', before: 'first-flight' }).taken();
  const document = recordFrom(engine);

  it('say whether they were finished, left for later, did not apply, or are open', () => {
    expect(document.steps.map(({ state }) => state)).toEqual(['finished', 'did not apply', 'left for later', 'open']);
    expect(document.steps[2]?.skipped).toMatchObject({ because: 'no paint', before: 'first-flight', tag: 'T-1' });
    expect(document.loose).toMatchObject([{ tag: 'T-1', skipped: true, open: 1 }]);
    expect(notices(document)).toContain('the job is not complete');
  });
});

describe('a guarded reading', () => {
  it('keeps the tool and what was known of its uncertainty then', () => {
    const engine = started(
      `
  - step: fit
    title: Fit
    readings:
      - { reading: width, unit: mm, limits: 12.5 ± 0.1 mm, tool: caliper, decide: guarded, source: invented }`,
      'gather: { tools: [{ tool: caliper }] }\n',
      [{ tool: 'CA-1', kind: 'caliper', uncertainty: '0.04 mm' }],
    );
    engine.says('read', 'width', { value: '12.59 mm', tool: 'CA-1' }).taken();
    const reading = recordFrom(engine).steps[0]?.readings?.[0];
    expect(reading).toMatchObject({ guarded: true, entered: [{ verdict: 'undecided', tool: 'CA-1' }] });
    expect(reading?.entered[0]?.uncertainty?.join()).toContain('0.04 mm');
    expect(recordPlain(recordFrom(engine))).toContain('? undecided');
  });
});

describe('a result', () => {
  it('keeps its inputs, its working, its verdict and its limits', () => {
    const engine = started(`
  - step: fit
    title: Fit
    readings:
      - { reading: stack, unit: mm, source: invented }
    results:
      - { result: length, calculation: rivet-length, from: { grip: stack, diameter: 3.2 mm }, limits: at least stack, source: invented }`);
    engine.says('read', 'stack', { value: '4 mm' }).taken();
    const result = recordFrom(engine).steps[0]?.results?.[0];
    expect(result).toMatchObject({
      calculation: 'rivet-length',
      with: [
        { input: 'grip', is: 'stack' },
        { input: 'diameter', is: '3.2 mm' },
      ],
      limits: 'at least stack',
      'limits-now': 'at least 4 mm',
      verdict: 'within',
    });
    // FAA-H-8083-31 chapter 4: the shank stands out 1.5 times its diameter; 4 + 1.5 × 3.2 = 8.8.
    expect(result?.value).toBe('8.8 mm');
    expect(result?.working).toBeTruthy();
    expect(result?.formula).toContain('FAA-H-8083-31');
  });
});

describe('tools that nobody named', () => {
  const engine = started(`
  - step: fit
    title: Fit it
    readings:
      - { reading: width, unit: mm, limits: 12.5 ± 0.1 mm, tool: caliper, source: invented }
    tighten: { fasteners: 1, torque: 160 to 190 in·lb, tool: torque-wrench, source: invented }`);

  it('are listed by kind, in the order of records written before: those of tightening ahead of those of readings', () => {
    expect(recordFrom(engine).tools).toEqual([
      { kind: 'torque-wrench', used: [] },
      { kind: 'caliper', used: [] },
    ]);
  });
});
