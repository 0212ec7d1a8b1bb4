import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decideCommand } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { impactOf } from '../../src/aircraft/impact.ts';
import { emptyBuild } from '../../src/aircraft/state.ts';
import type { Data } from '../../src/job/entry.ts';
import { commandOfEntry } from '../../src/job/parse.ts';
import type { Verb } from '../../src/job/verbs.ts';
import { troublesOf } from '../../src/job/troubles.ts';
import { stepApplies, stepStateOf } from '../../src/job/step-state.ts';
import { bond, scale } from '../job/fixtures.ts';
import { engineWith } from '../support/engine.ts';
import { moreThan } from '../support/tally.ts';

/** All entries of the job, in order. */
const walk: readonly (readonly [Verb, string | undefined, Data, string?])[] = [
  ['use', 'scale', { tool: 'SC-1' }],
  ['read', 'gap', { value: '0.12 mm' }],
  ['read', 'width', { value: '12.55 mm' }],
  ['finish', 'measure', {}],
  ['finish', 'dry-fit', {}],
  ['lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' }],
  ['temperature', '20 °C', {}],
  ['mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, with: ['bo'], sample: 'S-1' }],
  ['finish', 'mix', {}],
  ['finish', 'bond', { with: ['bo'] }],
  ['temperature', '20 °C', {}],
  ['finish', 'cure', {}],
  ['break', 'S-1', { result: 'held' }],
  ['finish', 'break', {}],
  ['release', 'look', {}, 'tobias'],
  ['finish', 'look', {}],
  ['complete', undefined, {}],
];

/** What a new page may change, one change at a time or several together. */
const edits: readonly (readonly [from: string, to: string])[] = [
  ['at most 0.2 mm', 'at most 0.1 mm'],
  ['at most 0.2 mm', 'at most 200 um'],
  ['12.5 ± 0.1 mm', '12.5 ± 0.05 mm'],
  ['hardener: 44', 'hardener: 50'],
  ['  - step: bond\n', '  - step: wipe\n    title: Wipe both faces\n  - step: bond\n'],
  ['[squeeze-out along the whole edge]', '[squeeze-out along the whole edge, no gap]'],
  ['18 h at 18 °C, full', '30 h at 18 °C, full'],
  ['  - step: dry-fit\n    title: Fit it dry\n    proves: [block-line]\n', ''],
  ['title: Measure the gap', 'title: Measure the gap, thrice'],
  ['    title: Fit it dry\n', '    title: Fit it dry\n    photo: [{ photo: dry, show: it }]\n'],
];
const pages = fc.subarray([...edits.keys()], { minLength: 1, maxLength: 4 }).map((chosen) =>
  chosen
    .reduce((text, index) => text.replace(...(edits[index] ?? ['', ''])), bond)
    .replace('revision: A', 'revision: B')
    .replace(/ {4}sets: \[block-line\]\n/, (found, _at: number, text: string) =>
      text.includes('proves') ? found : '',
    ),
);
const decisions = fc.array(
  fc.tuple(
    fc.constantFrom('gap', 'width', 'mix', 'wipe', 'look', 'cure', 'dry-fit'),
    fc.constantFrom('comply', 'record-only'),
  ),
  { maxLength: 2 },
);

describe('moving a job to a new page', () => {
  it('opens what was announced, keeps finished only what meets the new page, and decides again from scratch to the same', () => {
    let [reopened, tried] = [0, 0];
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: walk.length }).map((count) => (count < 4 ? walk.length - count : count)),
        pages,
        decisions,
        (steps, page, decided) => {
          const engine = engineWith([bond, page], { tools: scale });
          engine.says('start', 'bond').taken();
          for (const [index, [verb, object, data, by]] of walk.slice(0, steps).entries()) {
            if (index === 10) engine.at('2026-03-03T09:00:00+01:00');
            engine
              .as(by ?? 'ines')
              .says(verb, object, data)
              .taken();
          }
          engine.as('ines');
          for (const [change, kind] of decided)
            engine.says('resolve', change, { 'as-what': kind, reason: 'so it is', revision: 'B' });
          const named = engine.entries().at(-1);
          const before = engine.state();
          const job = engine.job();
          engine.says('move', 'B').taken();
          const moved = engine.entries().at(-1);
          if (moved?.type !== 'move') throw new Error('no move');
          const { sha256, reopens = [] } = moved.data;
          const procedure = engine.library.procedure(sha256);
          if (!procedure.ok || named === undefined) throw new Error('no text');
          const [told] = impactOf(before, procedure.value, sha256);
          const now = engine.job();
          const open = job.plan.steps
            .map(({ step }) => step)
            .filter((step) => stepStateOf(job, step).state === 'done' && stepStateOf(now, step).state === 'todo')
            .filter((step) => now.plan.steps.some((one) => one.step === step));
          expect(new Set(open)).toEqual(new Set(told?.reopens ?? []));
          expect(open).toEqual(expect.arrayContaining([...reopens]));
          tried += 1;
          reopened += open.length;
          for (const step of now.plan.steps)
            if (stepApplies(now, step) && stepStateOf(now, step.step).state === 'done')
              expect(troublesOf(now, step), step.step).toEqual([]);
          let state = emptyBuild;
          for (const entry of engine.entries()) {
            const command = commandOfEntry(entry);
            const again = command && decideCommand(state, command, engine.library);
            if (again) expect(again.ok ? again.value.data : again.fault, entry.type).toEqual(entry.data);
            const after = evolveBuild(state, entry, engine.library);
            if (!after.ok) throw new Error(after.fault.what);
            state = after.value;
          }
          expect(state).toEqual(engine.state());
        },
      ),
      { numRuns: Number(process.env['DRYFIT_RUNS'] ?? 80) },
    );
    expect(reopened).toBeGreaterThan(moreThan(10, 80, tried));
  });
});
