import { describe, expect, it } from 'vitest';
import type { Data, Entry } from '../../src/job/entry.ts';
import type { Verb } from '../../src/job/verbs.ts';
import { recordLaw } from '../faults/walks/records.ts';
import { buildPages, people } from '../faults/walks/pages.ts';
import { chooser } from '../faults/walks/chooser.ts';
import { readPages, walkBuild } from '../faults/walks/walk-build.ts';

/* A record is verified by its own words alone. Whoever looked, and worked on the job only later, did not look at their own work. */

const page = `procedure: rib
title: Build the rib
revision: A
gather:
  tools: [{ tool: caliper }]
steps:
  - step: fit
    title: Fit the rib
    readings: [{ reading: gap, unit: mm, limits: at most 0.2 mm, tool: caliper, source: invented }]
    photo: [{ photo: end, show: the free end }]
  - { step: look, title: Look at the rib, hold: { by: inspector, look-for: [gap even] } }
`;

const pagesWith = (text: string) =>
  readPages({ texts: [text], file: { ...buildPages(chooser(1)).file, people, plan: [{ procedure: 'rib' }] } });

const begun = (text = page) => {
  const build = walkBuild(pagesWith(text));
  const says = (verb: Verb, object?: string | number, data: Data = {}, by = 'ines'): Entry => {
    build.ms += 60_000;
    const job = build.state().jobOrder.at(-1) ?? '';
    const said = build.say({
      verb,
      job: verb === 'start' ? '' : job,
      data,
      by,
      ...(object === undefined ? {} : { object }),
    });
    if ('fault' in said) throw new Error(`${verb} ${object ?? ''}: ${said.fault.what}`);
    return said.entry;
  };
  says('start', 'rib');
  says('use', 'caliper', { tool: 'CA-1' });
  says('read', 'gap', { value: '0.1 mm' });
  says('photo', 'end', { file: 'a.jpg' });
  says('finish', 'fit');
  const faults = (): readonly string[] => {
    const entry = says('complete');
    return recordLaw(build.state(), entry, build.entries()).broken;
  };
  return { says, faults };
};

const fine = { remark: 'fine' };

describe('what a record says of a look is verified as of the look', () => {
  it('finds nothing wrong with a refusal by somebody who put right what they had found', () => {
    const { says, faults } = begun();
    says('refuse', 'look', { findings: ['edge rough'] }, 'tobias');
    says('answer', 1, { remark: 'sanded it while I was here' }, 'tobias');
    says('release', 'look', fine, 'ada');
    says('finish', 'look');
    expect(faults()).toEqual([]);
  });

  it('finds nothing wrong with a void release by somebody who corrected a value after it', () => {
    const { says, faults } = begun();
    says('release', 'look', fine, 'tobias');
    says('correct', 'gap', { value: '0.12 mm', reason: 'read it again' }, 'tobias');
    says('release', 'look', fine, 'ada');
    says('finish', 'look');
    expect(faults()).toEqual([]);
  });

  it('finds nothing wrong with a refusal by somebody who had done some of the work', () => {
    const { says, faults } = begun();
    says('correct', 'gap', { value: '0.11 mm', reason: 'read it myself' }, 'tobias');
    says('refuse', 'look', { findings: ['edge rough'] }, 'tobias');
    says('answer', 1, { remark: 'sanded' });
    says('release', 'look', fine, 'ada');
    says('finish', 'look');
    expect(faults()).toEqual([]);
  });

  it('finds nothing wrong with a void release by somebody who lent a hand after it', () => {
    const { says, faults } = begun();
    says('release', 'look', fine, 'tobias');
    says('undo', 'fit', { because: 'it came loose' });
    says('begin', 'fit', { with: 'tobias' });
    says('read', 'gap', { value: '0.1 mm' });
    says('photo', 'end', { file: 'b.jpg' });
    says('finish', 'fit');
    says('release', 'look', fine, 'ada');
    says('finish', 'look');
    expect(faults()).toEqual([]);
  });

  it('finds nothing wrong with a release by somebody who took one picture more afterwards', () => {
    const { says, faults } = begun();
    says('release', 'look', fine, 'tobias');
    says('finish', 'look');
    says('photo', 'end', { file: 'b.jpg' }, 'tobias');
    expect(faults()).toEqual([]);
  });

  it('finds nothing wrong with a look before a departure served a step for the first time', () => {
    const { says, faults } = begun(page.replace('{ tool: caliper }', '{ tool: caliper, in-date: true }'));
    says('depart', 'tool-out-of-date', { says: 'in date', did: 'took the old one', because: 'the other is away' });
    says('release', 'look', fine, 'tobias');
    says('undo', 'fit', { because: 'it came loose' });
    says('use', 'caliper', { tool: 'CA-3' });
    says('read', 'gap', { value: '0.1 mm' });
    says('photo', 'end', { file: 'b.jpg' });
    says('finish', 'fit');
    says('release', 'look', fine, 'ada');
    says('finish', 'look');
    expect(faults()).toEqual([]);
  });

  it('finds nothing wrong with a look before a correction that names the tool which nobody had named', () => {
    const { says, faults } = begun();
    says('release', 'look', fine, 'tobias');
    says('correct', 'gap', { value: { tool: 'CA-1' }, reason: 'which one it was' });
    says('release', 'look', fine, 'tobias');
    says('finish', 'look');
    expect(faults()).toEqual([]);
  });
});
