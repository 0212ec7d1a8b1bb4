import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decideBuild } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { emptyBuild, jobsOf, type BuildState } from '../../src/aircraft/state.ts';
import { refusalCodes } from '../../src/fault/codes.ts';
import type { Data } from '../../src/job/entry.ts';
import type { Field } from '../../src/job/verb-spec.ts';
import { isVerb, verbNames, verbSpec, type Verb } from '../../src/job/verbs.ts';
import { engineWith } from '../support/engine.ts';
import { bond, scale } from '../job/fixtures.ts';

/** Words of which some mean something in the job of the fixture. */
const words: Readonly<Record<Field['kind'], readonly (string | Data)[]>> = {
  text: [
    'gap',
    'width',
    'measure',
    'dry-fit',
    'mix',
    'bond',
    'cure',
    'break',
    'look',
    'B-1',
    'S-1',
    'T-1',
    'adhesive',
    'w:9',
    'hull-close',
    'proof-missing',
    'held',
    'failed',
    'A',
    'B',
    'wipe',
    'fit-dry',
    'rework',
    'use-as-is',
    'nonsense',
    'log.csv',
  ],
  quantity: ['0.1 mm', '0.3', '12.5 mm', '20 °C', '12 °C', '60 %', '3 turns', 'wide'],
  whole: ['1', '2', 'x'],
  yes: ['true', 'false'],
  person: ['quillon', 'ines'],
  name: ['quillon', 'Ines ', 'Quíllon', 'tobiaz', 'new:tobiaz', 'bo'],
  names: ['bo', 'TOBIAS', ['bo', 'marit '] as unknown as Data, 'bo, Marit'],
  instant: ['2026-03-04T09:00:00+01:00'],
  day: ['2027-01-31', '2020-01-01'],
  file: ['a.jpg', 'log.csv'],
  document: ['ssh-ed25519 AAAA'],
  texts: [['bo', 'marit'] as unknown as Data],
  wholes: [[1, 2] as unknown as Data],
  list: ['bo', 'marit', ['bo', 'marit'] as unknown as Data],
  map: [
    { 'dry-fit': 'fit-dry' },
    { resin: '100 g', hardener: '44 g' },
    { resin: '100 g', hardener: '40 g' },
    { resin: 'x' },
  ],
  value: ['0.1 mm', '12.5', 'none'],
  // Nobody types these: the workshop and the engine add them.
  pages: [],
  sheet: [],
  calculation: [
    { calculation: 'difference', with: { first: '12.6 mm', second: '12.5 mm' } },
    { calculation: 'sum', with: { value1: '12 mm', value2: '0.5 mm' } },
    { calculation: 'sum', with: { value1: '1 mm', value2: '1 N' } },
    { calculation: 'guess', with: { x: '1' } },
  ],
};

const dataFor = (verb: Verb): fc.Arbitrary<Data> => {
  const { object, fields } = verbSpec(verb);
  const all = object ? [object, ...fields] : fields;
  const entries = all.map((field) => {
    const pick = fc.constantFrom(...(field.choices ?? words[field.kind]));
    return [field.name, field.required ? pick : fc.option(pick, { nil: undefined, freq: 2 })] as const;
  });
  return fc
    .record(Object.fromEntries(entries))
    .map((data) => Object.fromEntries(Object.entries(data).filter(([, value]) => value !== undefined)) as Data);
};

/** A correction of any entry of the walk, by its id: one value, several by name, or fields that no entry has. */
const correction: fc.Arbitrary<Data> = fc.record({
  entry: fc.oneof(
    fc.integer({ min: 5, max: 30 }).map((seq) => `w:${seq}`),
    fc.constantFrom('gap', 'width', 'log.csv'),
  ),
  value: fc.constantFrom<Data | string>(
    '0.12 mm',
    '21 °C',
    '65 %',
    'banana',
    { humidity: '65 %' },
    { temperature: '21 °C', humidity: '55 %' },
    { resin: '101 g', hardener: '44.4 g' },
    { hardener: '50 g' },
    { by: 'tobias' },
    { at: '2020-01-01T00:00:00Z', entry: 'w:1' },
  ),
  reason: fc.constant('misread'),
});

const move = fc
  .constantFrom<Verb>(...verbNames.filter((verb) => verb !== 'start'), 'move', 'resolve', 'correct', 'correct', 'shop')
  .chain((verb) =>
    fc.record({
      verb: fc.constant(verb),
      data: verb === 'correct' ? correction : dataFor(verb),
      by: fc.constantFrom('ines', 'ines', 'ines', 'tobias', 'marit'),
      hours: fc.constantFrom(0, 0, 0, 1, 20),
    }),
  );

/** The next revision: one tighter limit, another mix, a renamed step, one step more and one less. */
const newPage = bond
  .replace('revision: A', 'revision: B')
  .replace('at most 0.2 mm', 'at most 0.15 mm')
  .replace('hardener: 44', 'hardener: 45')
  .replace('- step: dry-fit', '- step: fit-dry')
  .replace('- step: bond\n', '- step: wipe\n    title: Wipe both faces\n  - step: bond\n')
  .replace('[squeeze-out along the whole edge]', '[squeeze-out along the whole edge, no gap]');

/** Entries that carry a job forward, with random entries put in anywhere. */
const walk: readonly (readonly [Verb, string, Data])[] = [
  ['read', 'gap', { value: '0.1 mm' }],
  ['read', 'width', { value: '12.5 mm' }],
  ['finish', 'measure', {}],
  ['finish', 'dry-fit', {}],
  ['lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' }],
  ['mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, with: 'bo', sample: 'S-1' }],
  ['finish', 'mix', {}],
  ['finish', 'bond', {}],
  ['temperature', '20 °C', {}],
  ['finish', 'cure', {}],
  ['break', 'S-1', { result: 'held' }],
  ['finish', 'break', {}],
  ['release', 'look', {}],
  ['finish', 'look', {}],
];

/** What the workshop would bring to a command: the hash of the file that it names. */
const brought = (verb: Verb, log: Data): Data | undefined => {
  if (verb === 'temperatures') return log;
  return verb === 'photo' ? { 'file-sha256': 'f'.repeat(64) } : undefined;
};

/** Everything typed in a job, as it is now: who entered it and when, each by the entry that said so. */
const stampsOf = (state: BuildState) =>
  jobsOf(state).flatMap((job) => [
    ...job.shop,
    ...job.batches,
    ...Object.values(job.tries).flat(),
    ...Object.values(job.fasteners).flat(),
  ]);

/** The build with the rows of its logs as values, because each reading of a file makes new ones. */
const plain = (state: BuildState): unknown => ({
  ...state,
  logs: Object.entries(state.logs).map(([place, marks]) => [
    place,
    marks.map((mark) => ({ ...mark, rows: mark.rows() })),
  ]),
});

describe('laws of the engine', () => {
  it('any command in any state is accepted or refused with a closed code, and every entry is decided again to itself', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(walk.length), move), { maxLength: 25 }), (moves) => {
        const engine = engineWith([bond, newPage], { tools: scale });
        engine.says('start', 'bond').taken();
        const file = engine.log('time,temp (C)\n2026-03-01 09:00,20\n2026-03-02 10:00,19\n');
        let hours = 0;
        const clock = (): string =>
          `2026-03-${String(2 + Math.floor((9 + hours) / 24)).padStart(2, '0')}T${String((9 + hours) % 24).padStart(2, '0')}:00:00+01:00`;
        for (let at = 0; at <= walk.length; at += 1) {
          for (const [, one] of moves.filter(([where]) => where === at)) {
            hours = Math.min(hours + one.hours, 400);
            const object = verbSpec(one.verb).object?.name;
            const { [object ?? '']: bare, ...typed } = one.data;
            const rest = { ...typed, ...brought(one.verb, file) };
            const said = engine
              .at(clock())
              .as(one.by)
              .says(one.verb, bare as string, rest);
            const fault = said.fault();
            if (fault) expect(['refused', 'usage']).toContain(fault.kind);
            if (fault?.kind === 'refused') expect(refusalCodes).toContain(fault.code);
          }
          const next = walk[at];
          if (next) engine.as(next[0] === 'release' ? 'tobias' : 'ines').says(next[0], next[1], next[2]);
        }
        let state = emptyBuild;
        for (const entry of engine.entries()) {
          if (isVerb(entry.type)) {
            const command = { verb: entry.type, job: entry.job, by: entry.by, at: entry.at, data: entry.data };
            const again = decideBuild(state, command, engine.library);
            expect(again.ok ? again.value.data : again.fault, entry.type).toEqual(entry.data);
            expect(again.ok && again.value.job).toBe(entry.job);
          }
          const after = evolveBuild(state, entry, engine.library);
          if (!after.ok) throw new Error(after.fault.what);
          state = after.value;
        }
        expect(plain(state)).toEqual(plain(engine.state()));
        const written = new Map(engine.entries().map((entry) => [entry.id, entry]));
        for (const { entry, by, at } of stampsOf(state)) expect(written.get(entry)).toMatchObject({ by, at });
      }),
      { numRuns: Number(process.env['DRYFIT_RUNS'] ?? 60) },
    );
  });
});
