import fc from 'fast-check';
import { gateItemKinds } from '../../src/job/gate-sheet.ts';
import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { decideCommand } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { impactOf } from '../../src/aircraft/impact.ts';
import { serialize, restore } from '../../src/aircraft/snapshot.ts';
import { jobsOf, type BuildState } from '../../src/aircraft/state.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import { traceOf } from '../../src/aircraft/trace.ts';
import type { Data, Datum, RawEntry } from '../../src/job/entry.ts';
import { fieldsOf, type LineType } from '../../src/job/line-types.ts';
import { commandOfEntry, readEntry } from '../../src/job/parse.ts';
import type { FieldKind } from '../../src/job/verb-spec.ts';
import { verbNames } from '../../src/job/verbs.ts';
import { recordOf } from '../../src/record/record.ts';
import { recordHtml, recordPlain } from '../../src/report/record-sheet.ts';
import { bond, scale } from '../job/fixtures.ts';
import { engineWith, procedureOf, type Engine } from '../support/engine.ts';

/*
 * The writer of a merged journal can sign anything, because no rule of this machine decided it. Whatever such an entry holds, the build
 * can be folded or a fault names the entry, and every view of the build can be made.
 */

const odd = ['__proto__', 'constructor', 'toString', 'hasOwnProperty', 'valueOf', '__defineGetter__'];
const known = ['gap', 'width', 'measure', 'dry-fit', 'mix', 'bond', 'cure', 'break', 'look', 'B-1', 'S-1', 'adhesive'];
const texts = fc.oneof(
  fc.constantFrom(...odd, ...known, 'w:1', 'w:7', '0.1 mm', '20 °C', '19', 'hull-close', 'true', 'no', '1', ''),
  fc.constantFrom('2026-03-02T09:00:00+01:00', '2026-13-02T09:00:00Z', '9999-12-31T23:59:60+23:59', 'held', 'scrap'),
  fc.string({ maxLength: 8 }),
);
const datum: fc.Arbitrary<Datum> = fc.letrec<{ datum: Datum }>((tie) => ({
  datum: fc.oneof(
    { maxDepth: 2, withCrossShrink: true },
    texts,
    fc.constantFrom<Datum>(null, true, false, 0, 1, 2, -1, 2 ** 53 - 1),
    fc.array(tie('datum'), { maxLength: 3 }),
    fc.dictionary(fc.constantFrom('resin', 'hardener', 'calculation', 'with', 'result', ...odd), tie('datum'), {
      maxKeys: 3,
    }),
  ),
})).datum;

const types: readonly LineType[] = [...verbNames, 'key', 'build'];
const aKey = 'ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIHUa9oV5J5r1zL1R6n2sMr0zG1M6bFfVq9Q7n3f0F0aB';

/** Data with the shape that the table of verbs wants, so that the entry is folded. Its values are anything. */
const shaped: Readonly<Record<FieldKind, fc.Arbitrary<Datum>>> = {
  text: texts.filter((text) => text.trim() !== ''),
  quantity: fc.oneof(fc.constantFrom('0.1 mm', '20 °C', '1e9', '-3', '12,5', '1/0', '3 turns'), texts),
  person: fc.constantFrom('ines', 'tobias', 'constructor'),
  name: fc.oneof(fc.constantFrom('ines', 'Tobias ', 'new:ines', 'constructor'), texts),
  names: fc.array(texts, { minLength: 1, maxLength: 3 }),
  file: fc.constantFrom('a.jpg', '../../etc/passwd', '__proto__'),
  document: texts.filter((text) => text.trim() !== ''),
  texts: fc.array(texts, { maxLength: 3 }),
  wholes: fc.array(fc.constantFrom(0, 1, 2), { maxLength: 3 }),
  whole: fc.constantFrom(0, 1, 2, 7, 2 ** 53 - 1),
  yes: fc.boolean(),
  instant: fc.constantFrom('2026-03-02T09:00:00+01:00', '9999-12-31T23:59:59Z', '0001-01-01T00:00:00Z'),
  day: fc.constantFrom('2027-01-31', '0001-01-01', '9999-12-31'),
  list: fc.array(texts, { minLength: 1, maxLength: 3 }),
  map: fc.dictionary(fc.constantFrom('resin', 'hardener', 'measure', ...odd), texts, { maxKeys: 3 }),
  value: fc.oneof(texts, fc.dictionary(fc.constantFrom('resin', 'torque', ...odd), texts, { maxKeys: 2 })),
  calculation: fc.record({
    calculation: fc.constantFrom('difference', 'sum', ...odd),
    with: fc.dictionary(fc.constantFrom('first', 'second', 'value1', ...odd), texts, { maxKeys: 3 }),
  }),
  pages: fc.array(
    fc.record({
      procedure: fc.constantFrom('bond', 'rig', ...odd),
      sha256: texts,
      each: fc.array(fc.constantFrom('left', ...odd), { maxLength: 2 }),
      gates: fc.array(fc.constantFrom('hull-close', ...odd), { maxLength: 2 }),
    }),
    { maxLength: 3 },
  ),
  sheet: fc.record({
    gate: fc.constantFrom('hull-close', ...odd),
    open: fc.constant([]),
    excepted: fc.array(
      fc.record({
        kind: fc.constantFrom(...gateItemKinds),
        what: texts,
        key: fc.constantFrom('T-1', ...odd),
        because: texts,
        by: texts,
      }),
      { maxLength: 3 },
    ),
  }),
};

const dataOf = (type: LineType): fc.Arbitrary<Data> => {
  const named = fieldsOf(type).all.map(({ name, kind, choices, required }) => {
    const fit = choices ? fc.constantFrom<Datum>(...choices) : shaped[kind];
    const one = fc.oneof({ weight: 60, arbitrary: fit }, { weight: 1, arbitrary: datum });
    return [name, required ? one : fc.option(one, { nil: undefined })] as const;
  });
  const more = fc.dictionary(fc.constantFrom(...odd), datum, { maxKeys: 1 });
  return fc
    .tuple(
      fc.record(Object.fromEntries(named)),
      fc.oneof({ weight: 30, arbitrary: fc.constant({}) }, { weight: 1, arbitrary: more }),
    )
    .map(([data, strange]) => ({
      ...Object.fromEntries(Object.entries(data).filter((pair): pair is [string, Datum] => pair[1] !== undefined)),
      ...strange,
      ...(type === 'key' ? { key: aKey } : {}),
    }));
};

const entries = fc.array(
  fc.constantFrom(...types).chain((type) =>
    fc.record({
      type: fc.constant(type),
      data: dataOf(type),
      by: fc.constantFrom('ines', 'tobias', 'constructor', 'nobody'),
      at: fc.constantFrom('2026-03-02T10:00:00+01:00', '2026-03-01T10:00:00+01:00', '2026-03-05T10:00:00Z'),
      when: fc.constantFrom(undefined, undefined, '2026-03-02T09:30:00Z', '9999-12-31T23:59:59Z'),
      job: fc.constantFrom('own', 'own', 'own', 'own', 'own', 'own', '', 'constructor'),
    }),
  ),
  { minLength: 1, maxLength: 10 },
);

/** A build far enough along to have something that could be damaged. */
const walked = (): Engine => {
  const engine = engineWith([bond], { tools: scale });
  engine.says('start', 'bond').taken();
  engine.says('read', 'gap', { value: '0.1 mm' }).taken();
  engine.says('read', 'width', { value: '12.5 mm' }).taken();
  engine.says('use', 'scale', { tool: 'SC-1' }).taken();
  engine.says('finish', 'measure').taken();
  engine.says('finish', 'dry-fit').taken();
  engine.says('lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' }).taken();
  engine.says('temperature', '20 °C').taken();
  engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, with: ['bo'], sample: 'S-1' }).taken();
  return engine;
};

/** Everything that can be made from a build. */
const looked = (state: BuildState): void => {
  statusOf(state, state.lastAt);
  for (const word of ['L-1', 'B-1', 'SC-1', ...odd]) traceOf(state, word);
  impactOf(state, procedureOf(bond.replace('0.2 mm', '0.15 mm')), 'f'.repeat(64));
  for (const job of jobsOf(state)) {
    const build = { build: state.build, scripted: false, aircraft: [], keys: {} };
    const document = recordOf(job, aroundOf(state, job, state.lastAt), build, { writer: 'w', seq: 1, hash: '' });
    recordHtml(document);
    recordPlain(document);
  }
};

describe('entries that no rule was asked about', () => {
  it('give a build of which every view can be made, or a fault that names the entry', () => {
    fc.assert(
      fc.property(entries, (forged) => {
        const engine = walked();
        let state = engine.state();
        for (const [index, one] of forged.entries()) {
          const { when, job, ...rest } = one;
          const raw: RawEntry = {
            ...rest,
            id: `x:${index + 1}`,
            hash: String(index).padStart(64, 'a'),
            job: job === 'own' ? (state.jobOrder[0] ?? '') : job,
            also: [],
            ...(when === undefined ? {} : { when }),
          };
          const entry = readEntry(raw);
          const command = entry.ok ? commandOfEntry(entry.value) : undefined;
          if (command) decideCommand(state, command, engine.library);
          const after = entry.ok ? evolveBuild(state, entry.value, engine.library) : entry;
          if (!after.ok) {
            expect(after.fault.what).not.toBe('');
            continue;
          }
          state = after.value;
        }
        looked(state);
        const lines = serialize(state);
        const again = restore((number) => lines[number] ?? '');
        expect(statusOf(again, state.lastAt)).toEqual(statusOf(state, state.lastAt));
        expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
      }),
      { numRuns: Number(process.env['DRYFIT_RUNS'] ?? 300) },
    );
  });
});
