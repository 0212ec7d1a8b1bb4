import { describe, expect, it } from 'vitest';
import { fieldsOf, lineTypes, type LineType } from '../../src/job/line-types.ts';
import { readEntry } from '../../src/job/parse.ts';
import { verifyValues } from '../../src/record/verify-values.ts';
import { recordPlain } from '../../src/report/record-sheet.ts';
import { recordIn } from '../../src/workshop/records/record-in.ts';
import { engineWith } from '../support/engine.ts';
import { bond, scale, small } from './fixtures.ts';

const bolts = small(
  `
  - step: pull
    title: Pull the bolts
    tighten: { fasteners: 2, torque: 18 to 24 N·m, drag: measured, tool: torque-wrench, mark: true }
`,
  'gather:\n  tools: [{ tool: torque-wrench, title: Torque wrench }]\n',
);

const bonding = () => {
  const engine = engineWith([bond], { tools: scale });
  engine.says('start', 'bond').taken();
  return engine;
};

const raw = (type: string, data: Parameters<typeof readEntry>[0]['data']) =>
  readEntry({ id: 'x:1', hash: 'h', at: '2026-03-02T09:00:00Z', by: 'ines', job: 'j', type, data, also: [] });

describe('a line is folded as it was read', () => {
  it('reads a fastener written as text as its number, and a mark written as text as a mark', () => {
    const read = raw('tighten', { step: 'bolts', fastener: '2', mark: 'yes', torque: '20 N·m' });
    expect(read.ok && read.value.data).toEqual({ step: 'bolts', fastener: 2, mark: true, torque: '20 N·m' });
  });

  it('names a line that lacks what the workshop adds, or has it in another shape', () => {
    const photo = raw('photo', { photo: 'end', file: 'a.jpg' });
    expect(photo.ok ? '' : photo.fault).toMatchObject({ code: 'entry-malformed', kind: 'wrong' });
    const found = raw('tool', { tool: 'TW-1', found: 'lost' });
    expect(found.ok ? '' : found.fault.what).toContain('found cannot be read');
    const unknown = raw('paint', {});
    expect(unknown.ok ? '' : unknown.fault.code).toBe('entry-unknown');
  });

  it('has a reader for every field of every type of line', () => {
    const types = Object.keys(lineTypes) as LineType[];
    expect(types.length).toBeGreaterThan(40);
    for (const type of types)
      for (const { name, about } of fieldsOf(type).all) expect(`${name} ${about}`).not.toMatch(/undefined/);
  });
});

describe('a photo', () => {
  it('is refused without the hash of its file', () => {
    bonding().says('photo', 'end', { file: 'a.jpg' }).wrong('field-missing');
  });
});

describe('a correction of the conditions of the shop', () => {
  const entered = () => {
    const engine = bonding();
    engine.says('shop', undefined, { humidity: '60 %' }).taken();
    return { engine, entry: engine.entries().at(-1)?.id ?? '' };
  };

  it('reads each field as the entry was read, and refuses a field of another verb', () => {
    const { engine, entry } = entered();
    for (const value of [{ humidity: '90 %', by: 'tobias' }, { at: '2026-01-01T00:00:00Z' }, { entry: 'w:1' }])
      engine.says('correct', entry, { value, reason: 'slip' }).wrong('value-unreadable');
    for (const value of ['banana', '12 mm', { humidity: 'wet' }, { temperature: 'warm' }])
      engine.says('correct', entry, { value, reason: 'slip' }).wrong();
    expect(engine.job().shop).toMatchObject([{ humidity: '60 %', by: 'ines', entry }]);
    expect(engine.job().struck).toEqual([]);
  });

  it('strikes the old value with its time and person, and keeps them', () => {
    const { engine, entry } = entered();
    engine
      .at('+1h')
      .says('correct', entry, { value: { humidity: '65 %' }, reason: 'misread' })
      .taken();
    const [shop] = engine.job().shop;
    expect(shop).toMatchObject({ humidity: '65 %', by: 'ines', entry, at: '2026-03-02T09:00:00+01:00' });
    expect(engine.job().struck).toMatchObject([
      {
        value: 'humidity 60 %',
        by: 'ines',
        struckBy: 'ines',
        reason: 'misread',
        struckAt: '2026-03-02T10:00:00+01:00',
      },
    ]);
  });

  it('asks which of several values is meant, and corrects the temperature known of the place', () => {
    const engine = bonding();
    engine.says('shop', undefined, { temperature: '19 °C', humidity: '60 %' }).taken();
    const entry = engine.entries().at(-1)?.id ?? '';
    engine.says('correct', entry, { value: '21 °C', reason: 'slip' }).wrong('field-missing');
    engine.says('correct', entry, { value: { temperature: '21 °C' }, reason: 'slip' }).taken();
    expect(engine.job().shop).toMatchObject([{ temperature: '21 °C', humidity: '60 %' }]);
    expect(engine.state().temperatures['']).toMatchObject([{ entry, temperature: '21 °C' }]);
  });
});

describe('a correction of a fastener', () => {
  const pulled = () => {
    const engine = engineWith([bolts], { tools: [{ tool: 'TW-1', kind: 'torque-wrench' }] });
    engine.says('start', 'small').taken();
    engine.says('tighten', 'pull', { fastener: 1, torque: '20 N·m', drag: '2 N·m' }).taken();
    return engine;
  };

  it('is read by the dimension of its field', () => {
    const engine = pulled();
    const entry = engine.entries().at(-1)?.id ?? '';
    engine.says('correct', entry, { value: { torque: '12 mm' }, reason: 'slip' }).wrong('unit-dimension');
    engine.says('correct', entry, { value: { past: '2 turns' }, reason: 'slip' }).wrong();
    engine.says('correct', entry, { value: { by: 'tobias' }, reason: 'slip' }).wrong('value-unreadable');
  });

  it('means the same field by a bare value when it is decided and when it is folded', () => {
    const engine = pulled();
    const entry = engine.entries().at(-1)?.id ?? '';
    const taken = engine.says('correct', entry, { value: '21 N·m', reason: 'misread' }).taken();
    expect(taken.type).toBe('correct');
    expect(Object.values(engine.job().fasteners)[0]).toMatchObject([{ torque: '21 N·m', drag: '2 N·m', by: 'ines' }]);
  });
});

describe('a correction of a batch', () => {
  it('asks which part is meant, and judges the part', () => {
    const engine = bonding();
    for (const [verb, object, data] of [
      ['read', 'gap', { value: '0.1 mm' }],
      ['read', 'width', { value: '12.5 mm' }],
      ['finish', 'measure', {}],
      ['finish', 'dry-fit', {}],
      ['lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' }],
      ['mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, with: 'bo', sample: 'S-1' }],
    ] as const)
      engine.says(verb, object, data).taken();
    const entry = engine.entries().at(-1)?.id ?? '';
    engine.says('correct', entry, { value: '44.5 g', reason: 'misread' }).wrong('field-missing');
    engine.says('correct', entry, { value: { by: 'tobias' }, reason: 'misread' }).wrong();
    expect(engine.says('correct', entry, { value: { hardener: '44.5 g' }, reason: 'misread' }).taken()).toMatchObject({
      verdict: 'within',
    });
    expect(engine.job().batches).toMatchObject([{ weights: { resin: '100 g', hardener: '44.5 g' }, by: 'ines' }]);
  });
});

describe('the record of corrected conditions of the shop', () => {
  it('holds what was struck, by whom, when and why', () => {
    const engine = bonding();
    engine.says('shop', undefined, { humidity: '60 %' }).taken();
    const entry = engine.entries().at(-1)?.id ?? '';
    engine.says('correct', entry, { value: '65 %', reason: 'misread' }).taken();
    const document = recordIn(engine.state(), engine.job(), { writer: 'w', seq: 9, hash: 'f'.repeat(64) });
    expect(document.shop).toMatchObject([
      { humidity: '65 %', struck: [{ value: 'humidity 60 %', reason: 'misread' }] },
    ]);
    expect(verifyValues(document).map(({ level }) => level)).toEqual(['ok']);
    expect(recordPlain(document)).toContain('humidity 60 % (struck)');
  });
});
