import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import type { Data, Entry } from '../../src/job/entry.ts';
import { currentStep } from '../../src/job/where.ts';
import type { RecordDocument } from '../../src/record/document.ts';
import { recordOf } from '../../src/record/record.ts';
import type { RecordCure } from '../../src/record/parts/cure.ts';
import type { RecordReading } from '../../src/record/parts/reading.ts';
import { begunByHand, cureByHand, temperaturesByHand, type CurePage } from '../support/cure-by-hand.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { isWithinMost, sameRatio, spreadByHand, valueByHand, verdictByHand } from '../support/value-by-hand.ts';
import { build } from './fixture.ts';

/*
 * The law: whatever a record says of a cure, a value or a twin, an independent evaluation of the journal at that instant says. What is
 * evaluated here knows the lines of the journal and the words of the two pages, and none of the program's own arithmetic.
 */

type Revision = 'A' | 'B';

/** The words of the pages, as this test knows them. */
const limitsOf = {
  gap: { A: 'at most 0.2 mm', B: 'at most 0.15 mm' },
  chord: { A: '12.5 ± 0.1 mm', B: '12.4 +0.2 -0.1 mm' },
  incidence: { A: '2 ± 1 °', B: '2 ± 1 °' },
} as const;
const twinLimits: Readonly<Record<Revision, string>> = { A: 'at most 0.3 °', B: 'at most 0.25 °' };
const places = ['root', 'tip'];
const hour = 3_600_000;
const curePage: CurePage = {
  floor: 18,
  longest: 12 * hour,
  stages: [
    {
      stage: 'handle',
      points: [
        { at: 25, takes: 24 * hour },
        { at: 18, takes: 48 * hour },
      ],
    },
    { stage: 'full', points: [{ at: 18, takes: 7 * 24 * hour }] },
  ],
};

const page = (revision: Revision): string => `procedure: wing
title: Bond and rig a wing
revision: ${revision}
each: [left, right]
steps:
  - step: rig
    title: Rig it
    readings: [{ reading: incidence, unit: °, limits: ${limitsOf.incidence[revision]}, twin: ${twinLimits[revision]}, source: invented }]
  - step: measure
    title: Measure
    readings:
      - { reading: gap, unit: mm, limits: ${limitsOf.gap[revision]}, source: invented }
      - { reading: chord, unit: mm, limits: ${limitsOf.chord[revision]}, positions: [${places.join(', ')}], source: invented }
  - { step: mix, title: Mix, mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, tolerance: 2 %, pot-life: 35 min at 20 °C } }
  - { step: spread, title: Spread it, in-pot-life-of: mix }
  - step: cure
    title: Let it cure
    cure: { of: mix, stages: { handle: [24 h at 25 °C, 48 h at 18 °C], full: 7 d at 18 °C }, floor: 18 °C, reading-every: 12 h }
`;

type ReadingId = keyof typeof limitsOf;

const typed: Readonly<Record<ReadingId, readonly string[]>> = {
  gap: ['0.1 mm', '0.15 mm', '0.1500001 mm', '0.2 mm', '0.02 cm', '0.21 mm', '0.0078 in', '0.008 in'],
  chord: ['12.4 mm', '12.5 mm', '12.6 mm', '12.600001 mm', '1.25 cm', '1/2 in', '12.3 mm', '12.29 mm'],
  incidence: ['2.0 °', '2.3 °', '2.25 °', '2.31 °', '1.7 °', '1.69 °', '3.0 °', '3.1 °'],
};

/* What the journal says of the values, gone through line by line. */

interface TryByHand {
  readonly entry: string;
  readonly value: string;
  readonly revision: Revision;
}

interface JobByHand {
  readonly revision: Revision;
  readonly tries: ReadonlyMap<string, readonly TryByHand[]>;
}

const slotName = (reading: string, position?: string): string =>
  position === undefined ? reading : `${reading} ${position}`;

const jobByHand = (entries: readonly Entry[], job: string): JobByHand => {
  let revision: Revision = 'A';
  const tries = new Map<string, readonly TryByHand[]>();
  for (const entry of entries.filter((one) => one.job === job)) {
    if (entry.type === 'move') revision = entry.data.revision as Revision;
    if (entry.type === 'read') {
      const slot = slotName(entry.data.reading, entry.data.position);
      tries.set(slot, [...(tries.get(slot) ?? []), { entry: entry.id, value: entry.data.value, revision }]);
    }
    if (entry.type === 'correct' && typeof entry.data.value === 'string') {
      const right = entry.data.value;
      const named = tries.get(slotName(entry.data.entry, entry.data.position))?.at(-1)?.entry ?? entry.data.entry;
      for (const [slot, all] of tries)
        tries.set(
          slot,
          all.map((one) => (one.entry === named ? { ...one, value: right } : one)),
        );
    }
  }
  return { revision, tries };
};

/* What the walk reached, so that a walk which reached nothing is seen. */

const seen = {
  reached: 0,
  unreached: 0,
  partly: 0,
  outside: 0,
  tries: 0,
  corrected: 0,
  byOldPage: 0,
  twinOpen: 0,
  twinApart: 0,
  twinClosed: 0,
  records: 0,
};

const checkTwin = (reading: RecordReading, own: JobByHand, other: JobByHand | undefined): boolean => {
  const values = [own, other].flatMap((one) => one?.tries.get('incidence')?.at(-1)?.value ?? []);
  expect(reading['other-sides']?.flatMap((side) => side.values) ?? []).toEqual(
    other?.tries
      .get('incidence')
      ?.slice(-1)
      .map(({ value }) => value) ?? [],
  );
  if (values.length < 2) {
    expect(reading.difference).toBeUndefined();
    return true;
  }
  const spread = spreadByHand(values);
  const said = reading.difference?.[0] ?? '';
  expect(sameRatio(valueByHand(said), spread), `${said} is the difference of ${values.join(', ')}`).toBe(true);
  return !isWithinMost(spread, twinLimits[own.revision]);
};

const checkReading = (reading: RecordReading, own: JobByHand, other: JobByHand | undefined): void => {
  const id = reading.reading as ReadingId;
  const isOpen = id === 'incidence' && checkTwin(reading, own, other);
  const slots = id === 'chord' ? places : [undefined];
  for (const position of slots) {
    const byHand = own.tries.get(slotName(id, position)) ?? [];
    const entered = reading.entered.filter((one) => one.position === position);
    expect(entered.map(({ entry, value }) => [entry, value])).toEqual(byHand.map(({ entry, value }) => [entry, value]));
    entered.forEach((said, index) => {
      const { value, revision } = byHand[index]!;
      const isLatest = index === byHand.length - 1;
      const old = limitsOf[id][revision];
      const asNow = verdictByHand(value, limitsOf[id][own.revision]);
      const now = isLatest && asNow === 'within' && isOpen ? 'within, twin open' : asNow;
      const where = `${id} ${value}, ${revision} then, ${own.revision} now`;
      if (old === limitsOf[id][own.revision]) {
        expect(said.verdict, where).toBe(now);
        expect(said['by-page'], where).toBeUndefined();
      } else {
        expect(said.verdict, where).toBe(verdictByHand(value, old));
        expect(said['by-page'], where).toEqual({ revision, limits: old });
        expect(said['verdict-now'], where).toBe(isLatest ? now : undefined);
        seen.byOldPage += 1;
      }
      seen.outside += said.verdict === 'outside' ? 1 : 0;
      seen.tries += index;
      seen.corrected += said.struck.length;
      if (isLatest && id === 'incidence' && asNow === 'within') {
        if (isOpen && reading.difference) seen.twinApart += 1;
        else if (isOpen) seen.twinOpen += 1;
        else seen.twinClosed += 1;
      }
    });
  }
};

/** `18 h`, `1 d 2 h 30 min`, `0 s`; in ms. */
const durationByHand = (text: string): number => {
  const sizes: Readonly<Record<string, number>> = { d: 24 * hour, h: hour, min: 60_000, s: 1000 };
  return [...text.matchAll(/([\d.]+) (d|h|min|s)\b/g)].reduce(
    (sum, [, count, unit]) => sum + Math.round(Number(count) * (sizes[unit ?? ''] ?? Number.NaN)),
    0,
  );
};

const checkCure = (cure: RecordCure, entries: readonly Entry[], job: string): void => {
  const begun = begunByHand(entries, job, ['spread']);
  expect(cure.begun === undefined ? undefined : Date.parse(cure.begun)).toBe(begun);
  const said = temperaturesByHand(entries);
  const latest = Math.max(...entries.map(({ at }) => Date.parse(at)));
  cure.stages.forEach((stage, index) => {
    if (begun === undefined) {
      expect(stage.reached).toBe(false);
      return;
    }
    const at = Date.parse(stage['as-of'] ?? '');
    const of = (instant: number) => cureByHand(curePage, said, begun, instant).stages[index]!;
    const byHand = of(at);
    const where = `${stage.stage} as of ${stage['as-of']}`;
    expect(byHand.stage).toBe(stage.stage);
    expect(stage.reached, where).toBe(byHand.reached);
    // A stage is reached at the very instant that the record gives, and one that the record calls open is open still.
    expect(of(stage.reached ? at - 1 : latest).reached, where).toBe(false);
    if (index === 0) {
      const [percent = '', times = ''] = stage.counted.split(': ');
      expect(Number(percent.replace(' %', '')), where).toBe(byHand.percent);
      const counted = byHand.atPoints.filter((ms) => ms > 0);
      expect(times === '' ? [] : times.split(', ').map(durationByHand), where).toEqual(counted);
    } else expect(durationByHand(stage.counted), where).toBe(byHand.atPoints[0]);
    if (stage.reached) seen.reached += 1;
    else seen.unreached += 1;
    if (!stage.reached && byHand.percent > 0) seen.partly += 1;
  });
  if (cure['as-of'] !== undefined && begun !== undefined)
    expect(durationByHand(cure.clock ?? '')).toBe(Date.parse(cure['as-of']) - begun);
};

const recordIn = (engine: Engine, id: string): RecordDocument => {
  const job = jobOf(engine.state(), id);
  const last = engine.entries().at(-1);
  if (!job || !last) throw new Error('no job');
  const around = aroundOf(engine.state(), job, Date.parse(last.at));
  return recordOf(job, around, build, { writer: 'w', seq: engine.entries().length, hash: last.hash });
};

const checkRecords = (engine: Engine): void => {
  const entries = engine.entries();
  const jobs = engine.state().jobOrder;
  for (const id of jobs) {
    const other = jobs.find((one) => one !== id);
    const byHand = jobByHand(entries, id);
    const document = recordIn(engine, id);
    seen.records += 1;
    expect(document.job.revision).toBe(byHand.revision);
    for (const step of document.steps) {
      for (const reading of step.readings ?? [])
        checkReading(reading, byHand, other === undefined ? undefined : jobByHand(entries, other));
      if (step.cure) checkCure(step.cure, entries, id);
    }
  }
};

/* The walk. Whatever the rules refuse is not done; the journal alone says what was. */

const pick = <T>(of: readonly T[], n: number): T => of[n % of.length]!;

const enter = (engine: Engine, reading: ReadingId, n: number, data: Data = { reason: 'again' }): void => {
  const position = reading === 'chord' ? { position: pick(places, Math.floor(n / 8)) } : {};
  engine.says('read', reading, { value: pick(typed[reading], n), ...position, ...data }).fault();
};

/** Does the next thing that the job wants, and mostly finishes the step. Values are well within their limits. */
const goOn = (engine: Engine, job: string, n: number): void => {
  const state = jobOf(engine.state(), job);
  const step = state && currentStep(state)?.step;
  if (step === undefined) engine.says('complete').fault();
  if (step === 'measure')
    for (const [reading, value, position] of [
      ['gap', '0.1 mm'],
      ['chord', '12.5 mm', 'root'],
      ['chord', '12.5 mm', 'tip'],
    ] as const)
      engine.says('read', reading, { value, ...(position === undefined ? {} : { position }) }).fault();
  if (step === 'mix') engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).fault();
  if (step === 'rig') engine.says('read', 'incidence', { value: '2.1 °' }).fault();
  if (step !== undefined && n % 3 > 0) engine.at('+5m').says('finish', step).fault();
};

const temperatureAt = (engine: Engine, n: number): void => {
  const celsius = 17 + (n % 10);
  const lowest = n % 3 === 0 ? { lowest: `${celsius - (n % 2)}.0 °C` } : {};
  engine.says('temperature', `${celsius}.0 °C`, lowest).fault();
};

const acts: Readonly<Record<string, (engine: Engine, job: string, n: number) => void>> = {
  'go on': goOn,
  read: (engine, _job, n) => enter(engine, pick(['gap', 'chord', 'incidence'], n), Math.floor(n / 3)),
  rig: (engine, _job, n) => enter(engine, 'incidence', n),
  correct: (engine, _job, n) => {
    const reading = pick(['gap', 'chord', 'incidence'] as const, n);
    const position = reading === 'chord' ? { position: pick(places, n) } : {};
    const value = pick(typed[reading], Math.floor(n / 3));
    engine.says('correct', reading, { value, reason: 'misread', ...position }).fault();
  },
  'correct an earlier try': (engine, _job, n) => {
    const reads = engine.entries().filter((entry) => entry.type === 'read');
    if (reads.length === 0) return;
    const { id, data } = pick(reads, n);
    engine.says('correct', id, { value: pick(typed[data.reading as ReadingId], n), reason: 'misread' }).fault();
  },
  move: (engine, _job, n) => void engine.says('move', pick(['B', 'A'], n)).fault(),
  night: (engine, _job, n) => {
    engine.at(`+${8 + (n % 8)}h`);
    temperatureAt(engine, n);
  },
  'warm days': (engine, _job, n) => {
    for (let k = 0; k < 2 + (n % 9); k += 1) {
      engine.at('+11h');
      engine.says('temperature', `${18 + ((n + k) % 8)} °C`).fault();
    }
  },
  'late temperature': (engine, _job, n) => {
    const at = Date.parse(engine.entries().at(-1)?.at ?? '') - (n % 40) * hour;
    engine.says('temperature', `${16 + (n % 10)} °C`, {}, new Date(at).toISOString().replace('.000Z', 'Z')).fault();
  },
  'correct a temperature': (engine, _job, n) => {
    const temperatures = engine.entries().filter(({ type }) => type === 'temperature');
    if (temperatures.length === 0) return;
    engine.says('correct', pick(temperatures, n).id, { value: `${15 + (n % 11)} °C`, reason: 'misread' }).fault();
  },
  undo: (engine) => void engine.says('undo', 'spread', { because: 'starved joint' }).fault(),
};

const walk = fc.array(
  fc.record({
    act: fc.oneof(
      { weight: 12, arbitrary: fc.constant('go on') },
      { weight: 4, arbitrary: fc.constant('warm days') },
      { weight: 9, arbitrary: fc.constantFrom(...Object.keys(acts).filter((act) => act !== 'undo')) },
      { weight: 1, arbitrary: fc.constant('undo') },
    ),
    side: fc.nat(1),
    n: fc.nat(1000),
  }),
  { minLength: 15, maxLength: 45 },
);

describe('a record', () => {
  it('says of a cure, a value and a twin what the journal says at that instant', () => {
    fc.assert(
      fc.property(walk, fc.boolean(), (story, isBoth) => {
        const engine = engineWith([page('A'), page('B')]);
        engine.says('start', 'wing', { each: 'left' }).taken();
        if (isBoth) engine.says('start', 'wing', { each: 'right' }).taken();
        const jobs = engine.state().jobOrder;
        story.forEach(({ act, side, n }, index) => {
          const job = pick(jobs, side);
          acts[act]?.(engine.at('+3m').in(job), job, n);
          if (index % 5 === 4) checkRecords(engine);
        });
        checkRecords(engine);
      }),
      { numRuns: 150 },
    );
    // The walk came to the deep end: each of these was in a record, mostly many times.
    for (const [what, times] of Object.entries(seen)) expect(times, what).toBeGreaterThan(20);
  });
});
