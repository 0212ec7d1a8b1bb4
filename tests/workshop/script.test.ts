import { describe, expect, it } from 'vitest';
import { readYaml } from '../../src/procedure/yaml.ts';
import { readScript } from '../../src/workshop/rehearsal/script.ts';

const read = (text: string) => {
  const { tree, messages } = readYaml(text, 's.yaml');
  expect(messages).toEqual([]);
  if (tree === undefined) throw new Error('no tree');
  return readScript('s.yaml', tree);
};
const entries = (text: string) => {
  const script = read(text);
  if (!script.ok) throw new Error(`${script.fault.where}: ${script.fault.what}`);
  return script.value.entries;
};
const faultOf = (text: string) => {
  const script = read(text);
  return script.ok ? undefined : `${script.fault.where} ${script.fault.code}`;
};
const withEntry = (entry: string): string => `script: a title\nentries:\n  - ${entry}\n`;

describe('a script', () => {
  it('reads as the page on scripts shows it', () => {
    const found = entries(`
script: keel-scarf
build: { people: [{ person: first, powers: [builder] }], gates: [hull-close] }
procedures: ../procedures
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: first, start: keel-scarf-bond, each: left }
  - { read: gap, value: 0.15 mm, expect: within }
  - { finish: dry-fit }
  - { lot: adhesive, number: L-204, use-by: 2027-01-31 }
  - { mix: mix, weights: { resin: 100 g, hardener: 44.1 g }, sample: S-1 }
  - { at: +12h, temperature: 19 °C, lowest: 18.5 °C }
  - { finish: bond-cure, expect: refused, code: cure-not-reached }
  - { refuse: inspect, as: second, findings: [one, two] }
  - { complete: true }
`);
    expect(found.map(({ verb, data }) => [verb, data])).toEqual([
      ['start', { procedure: 'keel-scarf-bond', each: 'left' }],
      ['read', { reading: 'gap', value: '0.15 mm' }],
      ['finish', { step: 'dry-fit' }],
      ['lot', { material: 'adhesive', number: 'L-204', 'use-by': '2027-01-31' }],
      ['mix', { step: 'mix', weights: { resin: '100 g', hardener: '44.1 g' }, sample: 'S-1' }],
      ['temperature', { temperature: '19 °C', lowest: '18.5 °C' }],
      ['finish', { step: 'bond-cure' }],
      ['refuse', { step: 'inspect', findings: ['one', 'two'] }],
      ['complete', {}],
    ]);
    expect(found[0]).toMatchObject({ at: '2026-03-02T09:00:00+01:00', as: 'first', where: 's.yaml:6:5' });
    expect(found[6]).toMatchObject({ expect: 'refused', code: 'cure-not-reached' });
  });

  it('takes the first key that is not beside the verb as the verb, so that depart may have a code', () => {
    const [entry] = entries(
      withEntry('{ depart: proof-missing, says: a, did: b, because: c, expect: refused, code: strict }'),
    );
    expect(entry).toMatchObject({ verb: 'depart', data: { code: 'proof-missing', says: 'a', did: 'b', because: 'c' } });
    expect(entry).toMatchObject({ expect: 'refused', code: 'strict' });
  });

  it.each([
    ['{ expect: within }', 's.yaml:3:5 verb-missing'],
    ['{ finsh: dry-fit }', 's.yaml:3:7 verb-unknown'],
    ['{ complete: now }', 's.yaml:3:7 value-unreadable'],
    ['{ read: gap, valu: 1 mm }', 's.yaml:3:18 field-unknown'],
    ['{ read: gap, value: 1 mm, expect: maybe }', 's.yaml:3:31 expectation-unknown'],
    ['{ finish: a, code: wait }', 's.yaml:3:18 expectation-unknown'],
    ['{ finish: a, expect: refused, code: waiting }', 's.yaml:3:35 expectation-unknown'],
    ['{ finish: a, as: [first] }', 's.yaml:3:18 value-unreadable'],
    ['finish', 's.yaml:3:5 entry-unreadable'],
  ])('%s is a fault at its place', (entry, fault) => {
    expect(faultOf(withEntry(entry))).toBe(fault);
  });

  it.each([
    ['procedure: a\ntitle: b\n', 's.yaml:1:1 script-unreadable'],
    ['script: a\n', 's.yaml:1:1 entries-missing'],
    ['script: a\nentries: none\n', 's.yaml:2:10 entries-missing'],
    ['script: a\nbuild-file: b\nentries: [a]\n', 's.yaml:2:1 field-unknown'],
  ])('%j is not a script', (text, fault) => {
    expect(faultOf(text)).toBe(fault);
  });
});
