import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isConcurrent, refusedHere } from '../../src/aircraft/concurrent.ts';
import { commandOfEntry } from '../../src/job/parse.ts';
import { decideCommand } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { emptyBuild } from '../../src/aircraft/state.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import type { Data } from '../../src/job/entry.ts';
import type { Verb } from '../../src/job/verbs.ts';
import { stepStateOf } from '../../src/job/step-state.ts';
import { bond, scale, small } from '../job/fixtures.ts';
import { machinesOn, meet } from '../support/machines.ts';
import { moreThan } from '../support/tally.ts';

const plain = (name: string, steps: string, head = ''): string => small(steps, head).replaceAll('small', name);

describe('two machines that did not see each other’s entries', () => {
  const block = plain(
    'block',
    `  - { step: measure, title: Measure, readings: [{ reading: gap, unit: mm, limits: at most 0.2 mm, source: invented }] }
  - { step: look, title: Look, hold: { by: inspector, look-for: [it] } }
  - { step: trim, title: Trim }
`,
  );
  const begun = () => {
    const { one, two } = machinesOn([block]);
    one.taken('start', 'block');
    one.taken('read', 'gap', { value: '0.1 mm' });
    meet(one, two);
    return { one, two };
  };

  it('both finish one step: the later finish is kept, shown, and settled', () => {
    const { one, two } = begun();
    one.taken('finish', 'measure');
    const later = two.taken('finish', 'measure');
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    expect(one.contradictions()).toMatchObject([{ entry: { id: later.id }, code: 'out-of-order', step: 'measure' }]);
    one.taken('release', 'look', {}, 'tobias');
    one.refused('contradiction', 'finish', 'look');
    one.taken('settle', later.id, { keep: 'no' });
    one.taken('finish', 'look');
    meet(one, two);
    expect(two.contradictions()).toEqual([]);
  });

  it('both release a hold: two looks at the same work do not contradict each other, and both are kept', () => {
    const { one, two } = begun();
    one.taken('finish', 'measure');
    meet(one, two);
    one.taken('release', 'look', { remark: 'in person' }, 'tobias');
    two.taken('release', 'look', { remark: 'from a picture' }, 'tobias');
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    expect(one.job().looks['look']).toHaveLength(2);
    expect(one.contradictions()).toEqual([]);
    two.taken('finish', 'look');
  });

  it('one enters a value outside after the other has had the step released and finished', () => {
    const { one, two } = begun();
    one.taken('finish', 'measure');
    one.taken('release', 'look', {}, 'tobias');
    one.taken('finish', 'look');
    const again = two.taken('read', 'gap', { value: '0.3 mm', reason: 'measured again' });
    meet(one, two);
    expect(one.contradictions().map(({ entry }) => entry.id)).toEqual([again.id]);
    one.refused('contradiction', 'finish', 'trim');
    one.taken('settle', again.id, { keep: 'yes' });
    expect(one.refused('out-of-order', 'finish', 'trim').what).toContain('measure');
  });

  it('a departure on one machine does not cover what the other did without it', () => {
    const { one, two } = begun();
    one.taken('depart', 'manual', { says: 'a', did: 'b', because: 'c' });
    two.taken('finish', 'measure');
    meet(one, two);
    expect(one.contradictions()).toEqual([]);
    expect(one.job().departures).toHaveLength(1);
  });

  it('with a third: two contradict the first, and each contradiction is settled by itself', () => {
    const { one, two, three } = machinesOn([block]);
    one.taken('start', 'block');
    one.taken('read', 'gap', { value: '0.1 mm' });
    meet(one, two, three);
    for (const machine of [one, two, three]) machine.taken('finish', 'measure');
    meet(one, two, three);
    expect(one.contradictions()).toHaveLength(2);
    for (const { entry } of one.contradictions()) three.taken('settle', entry.id, { keep: 'no' });
    meet(one, two, three);
    expect(one.contradictions()).toEqual([]);
    expect(one.state()).toEqual(two.state());
  });
});

/** Two machines, one of which is ready to mix for the bond. */
const readyToMix = () => {
  const { one, two } = machinesOn([bond], { tools: scale });
  one.taken('start', 'bond');
  one.taken('read', 'gap', { value: '0.1 mm' });
  one.taken('read', 'width', { value: '12.5 mm' });
  one.taken('use', 'scale', { tool: 'SC-1' });
  one.taken('finish', 'measure');
  one.taken('finish', 'dry-fit');
  one.taken('lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' });
  one.taken('temperature', '20 °C');
  return { one, two };
};

describe('glue mixed on one machine and discarded on the other', () => {
  const mixed = () => {
    const { one, two } = readyToMix();
    one.taken('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, with: ['bo'], sample: 'S-1' });
    one.taken('finish', 'mix');
    meet(one, two);
    return { one, two };
  };

  it('stops the joint until somebody says what happened', () => {
    const { one, two } = mixed();
    one.taken('discard', 'B-1', { because: 'it had set' });
    const glued = two.taken('finish', 'bond', { with: ['bo'] });
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    expect(one.contradictions()).toMatchObject([{ entry: { id: glued.id }, step: 'bond' }]);
    expect(stepStateOf(one.job(), 'bond').state).toBe('todo');
    one.taken('settle', glued.id, { keep: 'yes' });
    expect(stepStateOf(one.job(), 'bond').state).toBe('done');
  });

  it('has different numbers where two batches are mixed at the same time', () => {
    const { one, two } = readyToMix();
    meet(one, two);
    const cup = { weights: { resin: '100 g', hardener: '44 g' }, with: ['bo'] };
    one.taken('mix', 'mix', { ...cup, sample: 'S-1' });
    two.taken('mix', 'mix', { ...cup, sample: 'S-2' });
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    const numbers = one.job().batches.map(({ batch }) => batch);
    expect(new Set(numbers).size).toBe(numbers.length);
  });
});

describe('a new page followed on one machine while the other still follows the old one', () => {
  const steps = (
    limits: string,
    extra = '',
  ): string => `  - { step: measure, title: Measure, readings: [{ reading: gap, unit: mm, limits: ${limits}, source: invented }] }
${extra}  - { step: trim, title: Trim }
  - { step: last, title: Last }
`;
  const [old, now] = [
    plain('block', steps('at most 0.2 mm')),
    plain('block', steps('at most 0.1 mm', '  - { step: wipe, title: Wipe }\n')).replace('revision: A', 'revision: B'),
  ];
  const begun = () => {
    const { one, two } = machinesOn([old, now]);
    one.taken('start', 'block');
    one.taken('read', 'gap', { value: '0.15 mm' });
    one.taken('finish', 'measure');
    meet(one, two);
    return { one, two };
  };

  it('shows what was finished by the old page meanwhile, which counts only once it is settled', () => {
    const { one, two } = begun();
    one.taken('move', 'B');
    expect(stepStateOf(one.job(), 'measure').state).toBe('todo');
    const trimmed = two.taken('finish', 'trim');
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    expect(one.job()).toMatchObject({ revision: 'B' });
    expect(one.contradictions()).toMatchObject([{ entry: { id: trimmed.id }, step: 'trim' }]);
    one.taken('read', 'gap', { value: '0.08 mm', reason: 'planed' });
    two.pull(one);
    two.refused('contradiction', 'finish', 'measure');
    two.taken('settle', trimmed.id, { keep: 'yes' });
    two.taken('finish', 'measure');
    expect(stepStateOf(two.job(), 'trim').state).toBe('done');
  });

  it('decides a move again that follows work it would have reopened, and shows the contradiction', () => {
    const { one, two } = begun();
    one.taken('finish', 'trim');
    const moved = two.taken('move', 'B');
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    // Measured by the old page and outside the new one, so it is open again on both machines and reported on both.
    expect(stepStateOf(one.job(), 'measure').state).toBe('todo');
    expect(one.entries().at(-1)?.id).toBe(moved.id);
  });

  it('shows the second of two moves as a contradiction, because the job already follows the page', () => {
    const { one, two } = begun();
    one.taken('move', 'B');
    const second = two.taken('move', 'B');
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    expect(one.contradictions().map(({ entry }) => entry.id)).toEqual([second.id]);
    one.taken('settle', second.id, { keep: 'no' });
    expect(one.job().moves).toHaveLength(1);
  });

  it('keeps both of two different decisions about one change, and the later one counts', () => {
    const { one, two } = begun();
    one.taken('resolve', 'gap', { 'as-what': 'comply', revision: 'B' });
    two.taken('resolve', 'gap', { 'as-what': 'record-only', reason: 'noted', revision: 'B' });
    meet(one, two);
    expect(one.state()).toEqual(two.state());
    expect(one.job().resolutions.map(({ kind }) => kind)).toEqual(['comply', 'record-only']);
    expect(one.contradictions()).toEqual([]);
  });
});

describe('work that depends on a contradiction in another job', () => {
  const proof = plain(
    'proof',
    '  - { step: cut, title: Cut }\n  - { step: dry, title: Dry, proves: [keel-line], reaches: [bay-3] }\n',
  );
  const relying = plain(
    'relying',
    '  - { step: hang, title: Hang it, relies-on: [keel-line] }\n  - { step: other, title: Other }\n',
    'after: [proof]\n',
  );
  const fixing = plain('fixing', '  - { step: glue, title: Glue, permanent: true, sets: [keel-line] }\n');
  const closing = plain('closing', '  - { step: close, title: Close, covers: [bay-3] }\n');
  const afterwards = plain('afterwards', '  - { step: go, title: Go }\n', 'after: [proof]\n');
  const apart = plain('apart', '  - { step: alone, title: Alone }\n');

  /** `proof` is complete, and both machines finished one of its steps. */
  const contradicted = () => {
    const { one, two } = machinesOn([proof, relying, fixing, closing, afterwards, apart]);
    one.taken('start', 'proof');
    meet(one, two);
    one.taken('finish', 'cut', { job: 'proof' });
    one.taken('finish', 'dry', { job: 'proof' });
    one.taken('complete', undefined, { job: 'proof' });
    for (const name of ['relying', 'fixing', 'closing', 'afterwards', 'apart']) one.taken('start', name);
    const twice = two.taken('finish', 'cut', { job: 'proof' });
    meet(one, two);
    expect(one.contradictions()).toHaveLength(1);
    return { one, two, twice };
  };

  it.each([
    ['relying', 'hang', 'relies on keel-line, which dry of proof-'],
    ['fixing', 'glue', 'made keel-line permanent, which dry of proof-'],
    ['closing', 'close', 'covers bay-3, where dry of proof-'],
    ['afterwards', 'go', 'comes after proof, in proof-'],
  ])('%s: the step %s is refused, with the reason, until the contradiction is settled', (job, step, why) => {
    const { one, two, twice } = contradicted();
    const fault = two.refused('contradiction', 'finish', step, { job });
    expect(fault.what).toContain(why);
    expect(fault.todo).toContain(`settle ${twice.id}`);
    const waiting = statusOf(two.state(), two.state().lastAt).jobs.find(({ id }) => id.startsWith(job));
    expect(waiting?.waitsFor).toEqual([`a contradiction to be settled: ${twice.id}`]);
    one.taken('settle', twice.id, { keep: 'no' });
    one.taken('finish', step, { job });
  });

  it('cannot begin where it is permanent', () => {
    contradicted().one.refused('contradiction', 'begin', 'glue', { job: 'fixing' });
  });

  it('can go on where it does not depend on the contradiction', () => {
    const { one } = contradicted();
    one.taken('finish', 'alone', { job: 'apart' });
    one.taken('complete', undefined, { job: 'apart' });
  });

  it('cannot be completed where its steps were finished before the contradiction was known', () => {
    const { one, two } = machinesOn([proof, relying]);
    one.taken('start', 'proof');
    meet(one, two);
    one.taken('finish', 'cut', { job: 'proof' });
    one.taken('finish', 'dry', { job: 'proof' });
    one.taken('complete', undefined, { job: 'proof' });
    one.taken('start', 'relying');
    one.taken('finish', 'hang', { job: 'relying' });
    one.taken('finish', 'other', { job: 'relying' });
    two.taken('finish', 'cut', { job: 'proof' });
    meet(one, two);
    one.refused('contradiction', 'complete', undefined, { job: 'relying' });
  });
});

describe('laws of several writers', () => {
  const next = bond
    .replace('revision: A', 'revision: B')
    .replace('at most 0.2 mm', 'at most 0.15 mm')
    .replace('- step: bond\n', '- step: wipe\n    title: Wipe both faces\n  - step: bond\n');
  const acts: readonly (readonly [Verb, string | undefined, Data, string?])[] = [
    ['read', 'gap', { value: '0.1 mm' }],
    ['read', 'gap', { value: '0.3 mm', reason: 'again' }],
    ['read', 'width', { value: '12.5 mm' }],
    ['use', 'scale', { tool: 'SC-1' }],
    ['finish', 'measure', {}],
    ['finish', 'dry-fit', {}],
    ['lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' }],
    ['temperature', '20 °C', {}],
    ['mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, with: ['bo'], sample: 'S-1' }],
    ['finish', 'mix', {}],
    ['finish', 'bond', { with: ['bo'] }],
    ['discard', 'B-1', { because: 'old' }],
    ['depart', 'proof-missing', { says: 'a', did: 'b', because: 'c' }],
    ['correct', 'gap', { value: '0.12 mm', reason: 'misread' }],
    ['undo', 'measure', { because: 'wrong block' }],
    ['tool', 'SC-1', { found: 'wrong' }],
    ['move', 'B', {}],
    ['resolve', 'gap', { 'as-what': 'record-only', reason: 'noted', revision: 'B' }],
    ['remark', 'on', {}],
    ['release', 'look', {}, 'tobias'],
    ['break', 'S-1', { result: 'failed' }],
    ['dispose', 'gap', { 'as-what': 'rework', reason: 'again' }],
  ];
  /** What somebody would do next who only wants to go on: the first of these that is accepted. */
  const onwards = ['finish', 'mix', 'read'].flatMap((verb) =>
    acts.filter((act) => act[0] === verb && act[2]['reason'] === undefined),
  );
  const plays = fc.array(
    fc.oneof(
      { weight: 6, arbitrary: fc.record({ on: fc.nat(2), goes: fc.constant('on') }) },
      { weight: 2, arbitrary: fc.record({ on: fc.nat(2), act: fc.nat(acts.length - 1) }) },
      { weight: 2, arbitrary: fc.record({ on: fc.nat(2), from: fc.nat(2) }) },
      { weight: 1, arbitrary: fc.record({ on: fc.nat(2), settle: fc.constantFrom('yes', 'no') }) },
    ),
    { maxLength: 40 },
  );

  it('whatever was done on which machine, and however it was merged: one state, nothing lost, and each entry is decided again to itself', () => {
    let [contradictions, tried] = [0, 0];
    fc.assert(
      fc.property(plays, (moves) => {
        const { all, library } = machinesOn([bond, next], { tools: scale });
        all[0].taken('start', 'bond');
        all[0].taken('use', 'scale', { tool: 'SC-1' });
        all[0].taken('lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' });
        all[0].taken('temperature', '20 °C');
        meet(...all);
        let written = all[0].entries().length;
        for (const move of moves) {
          const machine = all[move.on] ?? all[0];
          if ('from' in move) machine.pull(all[move.from] ?? all[0]);
          else if ('goes' in move) {
            if (onwards.some(([verb, object, data]) => machine.says(verb, object, data) === undefined)) written += 1;
          } else if ('act' in move) {
            const [verb, object, data, by] = acts[move.act] ?? (['remark', 'x', {}] as const);
            if (machine.says(verb, object, data, by) === undefined) written += 1;
          } else {
            const [open] = machine.contradictions();
            if (open && machine.says('settle', open.entry.id, { keep: move.settle }) === undefined) written += 1;
          }
        }
        meet(...all);
        const [one, two, three] = all;
        expect(one.entries()).toHaveLength(written);
        expect(two.state()).toEqual(one.state());
        expect(three.state()).toEqual(one.state());
        let state = emptyBuild;
        for (const entry of one.entries()) {
          const command = commandOfEntry(entry);
          const again = command && decideCommand(state, command, library);
          const isRefused = refusedHere(state, entry, library) !== undefined;
          // An entry whose writer knew everything is accepted again with the same result. Only entries written at the same time may be
          // refused.
          if (again && !isConcurrent(state, entry))
            expect(again.ok ? again.value.data : again.fault).toEqual(entry.data);
          const after = evolveBuild(state, entry, library);
          if (!after.ok) throw new Error(after.fault.what);
          if (isRefused && entry.type !== 'settle')
            expect(after.value.contradictions.map((one_) => one_.entry.id)).toContain(entry.id);
          state = after.value;
        }
        tried += 1;
        contradictions += state.contradictions.length;
        for (const contradiction of one.contradictions()) {
          const [job] = state.jobOrder;
          expect(contradiction.job === '' || contradiction.job === job).toBe(true);
          one.taken('settle', contradiction.entry.id, { keep: 'no' });
        }
        expect(one.contradictions()).toEqual([]);
      }),
      { numRuns: Number(process.env['DRYFIT_RUNS'] ?? 60) },
    );
    expect(contradictions).toBeGreaterThan(moreThan(10, 60, tried));
  });
});
