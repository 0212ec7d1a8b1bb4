import { describe, expect, it } from 'vitest';
import type { RecordDocument } from '../../src/record/document.ts';
import { glanceOf } from '../../src/record/glance.ts';
import { inspectedFacts, linesOf } from '../../src/record/inspected.ts';
import { recordText } from '../../src/record/record.ts';
import { verifyEntries } from '../../src/record/verify-entries.ts';
import { verifyRecord } from '../../src/record/verify.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { recordFrom } from './fixture.ts';

/* Rules of the record, each with an example of its own: given, when, then. */

const started = (steps: string, head = '', more: Parameters<typeof engineWith>[1] = {}): Engine => {
  const engine = engineWith([`procedure: small\ntitle: Small\nrevision: A\n${head}steps:\n${steps}`], {
    gates: ['hull-close', 'first-flight'],
    ...more,
  });
  engine.says('start', 'small', head.includes('each:') ? { each: 'left' } : {}).taken();
  return engine;
};

/** The id of the last entry. */
const last = (engine: Engine): string => engine.entries().at(-1)?.id ?? '';

const glance = (document: RecordDocument, label: string) => {
  const found = glanceOf(document).find((one) => one.label === label);
  return { open: found?.open, decided: found?.decided };
};

/** What verifying says of its steps, signatures left aside. */
const faultsIn = (document: RecordDocument): readonly string[] =>
  verifyRecord({ bytes: Buffer.from(recordText(document)), signers: '' })
    .observations.filter(({ level, where }) => level === 'fault' && where.startsWith('steps'))
    .map(({ what }) => what);

const glue = `
  - step: mix
    title: Mix
    place: loft
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, tolerance: 2 %, sample: true, tool: scale }
  - step: last
    title: Sweep
`;
const scale = [
  { tool: 'SC-1', kind: 'scale', 'in-date-until': '2027-01-31' },
  { tool: 'SC-2', kind: 'scale', 'in-date-until': '2027-01-31' },
];
const cup = { weights: { resin: '100 g', hardener: '44 g' } };

describe('corrections of what a job rests on', () => {
  it('given temperatures of two places that are corrected, then the record has that of its own place alone', () => {
    const engine = started(glue);
    for (const place of ['loft', 'shed']) {
      engine.says('temperature', '20 °C', { place }).taken();
      engine.says('correct', last(engine), { value: '19 °C', reason: `misread in the ${place}` }).taken();
    }
    expect(recordFrom(engine).corrections).toMatchObject([
      {
        type: 'temperature',
        about: 'loft',
        was: 'temperature 20 °C',
        is: 'temperature 19 °C',
        reason: 'misread in the loft',
      },
    ]);
  });

  it('given what was found of two tools and corrected, then the record has that of the tool it used alone', () => {
    const engine = started(glue, 'gather: { tools: [{ tool: scale }], materials: [{ material: adhesive }] }\n', {
      tools: scale,
    });
    engine.says('mix', 'mix', { ...cup, sample: 'S-1', tool: 'SC-1' }).taken();
    for (const tool of ['SC-1', 'SC-2']) {
      engine.says('tool', tool, { found: 'dropped' }).taken();
      engine.says('correct', last(engine), { value: 'checked', reason: `${tool} stood on the shelf` }).taken();
    }
    expect(recordFrom(engine).corrections).toMatchObject([
      { type: 'tool', about: 'SC-1', was: 'found dropped', is: 'found checked', reason: 'SC-1 stood on the shelf' },
    ]);
  });

  it('given a place without a mix or a cure, when its temperature is corrected, then it is no part of the record', () => {
    const engine = started('  - { step: one, title: One, place: loft }\n');
    engine.says('temperature', '20 °C', { place: 'loft' }).taken();
    engine.says('correct', last(engine), { value: '19 °C', reason: 'misread' }).taken();
    expect(recordFrom(engine).corrections ?? []).toEqual([]);
  });
});

describe('samples', () => {
  it('given a sample that is not broken, then it is open; and not once its cup was discarded or its step undone', () => {
    const engine = started(glue);
    engine.says('mix', 'mix', { ...cup, sample: 'S-1' }).taken();
    expect(glance(recordFrom(engine), 'Samples')).toEqual({ open: ['S-1 of B-1 not broken'], decided: [] });
    engine.says('discard', 'B-1', { because: 'a fly in it' }).taken();
    expect(glance(recordFrom(engine), 'Samples')).toEqual({ open: [], decided: [] });
    engine.says('mix', 'mix', { ...cup, sample: 'S-2' }).taken();
    engine.says('finish', 'mix').taken();
    expect(glance(recordFrom(engine), 'Samples').open).toEqual(['S-2 of B-2 not broken']);
    engine.says('undo', 'mix', { because: 'scraped off' }).taken();
    expect(glance(recordFrom(engine), 'Samples').open).toEqual([]);
  });
});

describe('loose items and repairs at a glance', () => {
  it('given an item left loose, then it is open, and decided once it is closed', () => {
    const engine = started(`
  - step: leave
    title: Leave the cap
    loose: [{ item: cap, count: 1, left: finger tight, because: the cable comes, before: hull-close }]
  - { step: shut, title: Shut it, closes: [cap] }
`);
    engine.says('loose', 'cap', { count: 1, left: 'finger tight', because: 'cable', before: 'hull-close' }).taken();
    expect(glance(recordFrom(engine), 'Loose items')).toEqual({ open: ['T-1 cap'], decided: [] });
    engine.says('finish', 'leave').taken();
    engine.says('close', 'cap', { count: 1 }).taken();
    expect(glance(recordFrom(engine), 'Loose items')).toEqual({ open: [], decided: ['T-1 cap'] });
  });

  it.each([
    ['rework', 'Rework'],
    ['repair', 'Repair'],
    ['use-as-is', 'Used as is'],
    ['scrap', 'Scrap'],
  ])('given a value outside, when it is disposed of by %s, then it is listed under “%s” alone', (kind, label) => {
    const engine = started(
      '  - { step: one, title: One, readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }] }\n',
    );
    engine.says('read', 'gap', { value: '2 mm' }).taken();
    engine
      .says('dispose', 'gap', {
        'as-what': kind,
        reason: 'looked at it',
        author: 'Dagny Roth',
        letter: 'a.pdf',
        'letter-sha256': 'f'.repeat(64),
      })
      .taken();
    const labels = ['Rework', 'Repair', 'Used as is', 'Scrap'];
    const listed = labels.filter((one) => glance(recordFrom(engine), one).decided?.length !== 0);
    expect(listed).toEqual([label]);
    expect(glance(recordFrom(engine), label).decided).toEqual(['gap: looked at it']);
  });
});

describe('what a second person inspects', () => {
  it('given a hold over one step, then the dispositions of that step are on its list, and those of others are not', () => {
    const engine = started(`
  - { step: one, title: One, readings: [{ reading: gap, unit: mm, limits: at most 1 mm, source: invented }] }
  - { step: two, title: Two, readings: [{ reading: play, unit: mm, limits: at most 1 mm, source: invented }] }
  - { step: look, title: Look, hold: { by: inspector, of: [one] } }
`);
    for (const [reading, step] of [
      ['gap', 'one'],
      ['play', 'two'],
    ] as const) {
      engine.says('read', reading, { value: '2 mm' }).taken();
      const letter = { author: 'Dagny Roth', letter: 'a.pdf', 'letter-sha256': 'f'.repeat(64) };
      engine.says('dispose', reading, { 'as-what': 'use-as-is', reason: `because of ${reading}`, ...letter }).taken();
      engine.says('finish', step).taken();
    }
    const lines = linesOf(inspectedFacts(recordFrom(engine), 'look')).join('\n');
    expect(lines).toContain('because of gap');
    expect(lines).not.toContain('because of play');
  });
});

describe('what a step took', () => {
  it('given a material whose lot is named, when the step is finished, then the record has the lot and the entry', () => {
    const engine = started(
      '  - { step: seal, title: Seal it, materials: [sealant, tape] }\n',
      'gather: { materials: [{ material: sealant, lot: true }, { material: tape }] }\n',
    );
    expect(recordFrom(engine).steps[0]?.materials).toEqual([{ material: 'sealant' }, { material: 'tape' }]);
    engine.says('lot', 'sealant', { number: 'S-9' }).taken();
    engine.says('finish', 'seal').taken();
    const { materials = [] } = recordFrom(engine).steps[0] ?? {};
    expect(materials.filter(({ material }) => material === 'sealant')).toMatchObject([
      { lot: 'S-9', taken: { entry: last(engine), by: 'ines' } },
    ]);
    expect(materials.map(({ material }) => material).toSorted()).toEqual(['sealant', 'tape']);
  });

  it('given a photo that was asked for and one that was not, then each has what was to be seen on it, or nothing', () => {
    const engine = started(
      '  - { step: one, title: One, photo: [{ photo: bay, show: all four bolts, from: starboard }, { photo: rib, show: the rib }] }\n',
    );
    const file = (digit: string) => ({ file: `${digit}.jpg`, 'file-sha256': digit.repeat(64) });
    engine.says('photo', 'rib', file('b')).taken();
    engine.says('photo', 'bay', file('a')).taken();
    engine.says('photo', 'floor', file('c')).taken();
    const document = recordFrom(engine);
    const photos = [...(document.steps[0]?.photos ?? []), ...(document.photos ?? [])];
    const shown = photos.map(({ photo, show, from, file: name }) => [photo, show, from, name]);
    expect(shown.toSorted((one, two) => String(one[3]).localeCompare(String(two[3])))).toEqual([
      ['bay', 'all four bolts', 'starboard', 'a.jpg'],
      ['rib', 'the rib', undefined, 'b.jpg'],
      ['floor', undefined, undefined, 'c.jpg'],
    ]);
  });

  it('given a value by a tool, then the tool is listed with its kind and the value', () => {
    const engine = started(
      '  - { step: one, title: One, readings: [{ reading: gap, unit: mm, tool: caliper, source: invented }, { reading: play, unit: mm, source: invented }] }\n',
      'gather: { tools: [{ tool: caliper }] }\n',
      { tools: [{ tool: 'CA-1', kind: 'caliper' }] },
    );
    engine.says('read', 'gap', { value: '2 mm', tool: 'CA-1' }).taken();
    engine.says('read', 'play', { value: '1 mm', tool: 'CA-1' }).taken();
    expect(recordFrom(engine).tools).toMatchObject([{ tool: 'CA-1', kind: 'caliper', used: ['gap', 'play'] }]);
  });
});

describe('verdicts are decided again', () => {
  const valued = (reading: string, value: string): RecordDocument => {
    const engine = started(
      `  - { step: one, title: One, readings: [{ reading: gap, source: invented, ${reading} }] }\n`,
    );
    engine.says('read', 'gap', { value }).taken();
    return recordFrom(engine);
  };

  /** The same record with another verdict on its one value. */
  const saying = (document: RecordDocument, verdict: string): RecordDocument =>
    JSON.parse(
      JSON.stringify(document, (key, value: unknown) => (key === 'verdict' ? verdict : value)),
    ) as RecordDocument;

  it.each([
    ['unit: mm, limits: at most 1 mm', '0.9 mm', 'within', 'outside'],
    ['unit: mm, limits: at most 1 mm', '1.1 mm', 'outside', 'within'],
    ['count: true, limits: at least 14', '14', 'within', 'outside'],
    ['count: true, limits: at least 14', '13', 'outside', 'within'],
    ['choices: [straight, wavy], accept: [straight]', 'straight', 'within', 'outside'],
    ['choices: [straight, wavy], accept: [straight]', 'wavy', 'outside', 'within'],
  ])('given %s and %s, then the record says %s, and one that says %s is found', (reading, value, right, wrong) => {
    const document = valued(reading, value);
    expect(document.steps[0]?.readings?.[0]?.entered[0]?.verdict).toBe(right);
    expect(faultsIn(document)).toEqual([]);
    expect(faultsIn(saying(document, wrong))).toHaveLength(1);
  });

  it('given a calculated value at its limit itself, then it is undecided, and so it is decided again', () => {
    // FAA-H-8083-31 chapter 4: 0.125 in + 1.5 × 0.125 in = 0.3125 in, which is 7.9375 mm.
    const engine = started(
      '  - { step: one, title: One, readings: [{ reading: shank, unit: mm, limits: at most 7.9375 mm, source: invented }] }\n',
    );
    const calculated = { calculation: 'rivet-length', with: { grip: '0.125 in', diameter: '1/8 in' } };
    engine.says('read', 'shank', { value: '7.9375 mm', calculated }).taken();
    const document = recordFrom(engine);
    expect(document.steps[0]?.readings?.[0]?.entered[0]?.verdict).toBe('undecided');
    expect(faultsIn(document)).toEqual([]);
    expect(faultsIn(saying(document, 'within'))).toHaveLength(1);
  });

  it('given a value outside, when the record says that only the other side is open, then it is found', () => {
    expect(faultsIn(saying(valued('unit: mm, limits: at most 1 mm', '1.1 mm'), 'within, twin open'))).toHaveLength(1);
    expect(faultsIn(saying(valued('unit: mm, limits: at most 1 mm', '0.9 mm'), 'within, twin open'))).toEqual([]);
  });

  it('given a value within the limits of then, when a page with closer limits comes, then each verdict is by its own page', () => {
    const page = (revision: string, limits: string): string =>
      `procedure: small\ntitle: Small\nrevision: ${revision}\nsteps:\n  - { step: one, title: One, readings: [{ reading: gap, unit: mm, limits: ${limits}, source: invented }] }\n  - { step: last, title: Sweep }\n`;
    const engine = engineWith([page('A', 'at most 1 mm'), page('B', 'at most 0.5 mm')]);
    engine.says('start', 'small').taken();
    engine.says('read', 'gap', { value: '0.9 mm' }).taken();
    engine.says('move', 'B').taken();
    const document = recordFrom(engine);
    expect(document.steps[0]?.readings?.[0]?.entered[0]).toMatchObject({
      verdict: 'within',
      'by-page': { limits: 'at most 1 mm' },
      'verdict-now': 'outside',
    });
    expect(faultsIn(document)).toEqual([]);
    expect(faultsIn(saying(document, 'outside'))).toHaveLength(1);
  });
});

describe('the entries of the journal', () => {
  it('given a head with another hash than its line, then the fault is at the hash of the journal', () => {
    const document = recordFrom(started('  - { step: one, title: One }\n'));
    const forged = { ...document, journal: { ...document.journal, hash: '0'.repeat(64) } };
    const wheres = (one: RecordDocument): readonly string[] =>
      verifyEntries(one)
        .filter(({ level }) => level === 'fault')
        .map(({ where }) => where);
    expect(wheres(document)).toEqual([]);
    expect(wheres(forged)).toEqual(['journal.hash']);
  });
});

describe('the other side', () => {
  it('given places on each side, then each value and each difference has its place', () => {
    const engine = started(
      '  - { step: fit, title: Fit, readings: [{ reading: angle, unit: °, positions: [root, tip], limits: 22 ± 1 °, twin: at most 1 °, source: invented }] }\n',
      'each: [left, right]\n',
    );
    engine.says('read', 'angle', { value: '22.5 °', position: 'root' }).taken();
    engine.says('read', 'angle', { value: '22.25 °', position: 'tip' }).taken();
    engine.says('finish', 'fit').taken();
    engine.says('complete').taken();
    engine.says('start', 'small', { each: 'right' }).taken();
    engine.says('read', 'angle', { value: '22 °', position: 'root' }).taken();
    engine.says('read', 'angle', { value: '22 °', position: 'tip' }).taken();
    expect(recordFrom(engine).steps[0]?.readings?.[0]).toMatchObject({
      'other-sides': [{ side: 'left', values: ['root 22.5 °', 'tip 22.25 °'], finished: true }],
      difference: ['0.5 °', '0.25 °'],
    });
  });
});
