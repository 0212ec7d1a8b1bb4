import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sheetNow } from '../../src/aircraft/gate-now.ts';
import { isDueBefore } from '../../src/job/gate.ts';
import type { GateItem, GateSheet } from '../../src/job/gate-sheet.ts';
import type { Data } from '../../src/job/entry.ts';
import { jobsOf } from '../../src/aircraft/state.ts';
import type { JobState } from '../../src/job/state.ts';
import { currentStep, isOver } from '../../src/job/where.ts';
import { wantedOf } from '../../src/job/parts/all.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { moreThan } from '../support/tally.ts';

const rib = `procedure: rib
title: Build the rib
revision: A
steps:
  - step: fit
    title: Fit the rib
    readings: [{ reading: gap, ask: Gap, unit: mm, limits: at most 0.2 mm }]
  - { step: shoot, title: Keep a photo, photo: [{ photo: end, show: the free end }] }
  - { step: trim, title: Trim the edge, closes: [guard] }
  - { step: look, title: Look at the rib, hold: { by: inspector, look-for: [gap even] } }
`;
const ribB = rib
  .replace('revision: A', 'revision: B')
  .replace('at most 0.2 mm', 'at most 0.15 mm')
  .replace('  - { step: trim', '  - { step: wipe, title: Wipe it }\n  - { step: trim');
const tank = `procedure: tank
title: Fit the tank
revision: A
each: [left, right]
steps:
  - { step: seat, title: Seat the tank }
  - { step: strap, title: Strap it down, readings: [{ reading: play, ask: Play, unit: mm, limits: at most 1 mm }] }
`;
const hull = `procedure: hull
title: Close the hull
revision: A
steps:
  - { step: sweep, title: Sweep it out }
  - { step: close, title: Close the hull, gate: hull-close }
`;
const fly = `procedure: fly
title: Go to the field
revision: A
steps:
  - { step: go, title: Go, gate: first-flight }
`;
const gates = ['hull-close', 'first-flight'];
/** Which procedures are complete before which gate: what this test itself says, and not what the engine works out. */
const planned: Readonly<Record<string, readonly string[]>> = {
  'hull-close': ['rib'],
  'first-flight': ['rib', 'tank', 'hull'],
};

/** What this test itself knows to be open. It learns from what was entered alone. */
interface Ledger {
  /** By tag: how many are out, the gate, and the number of the last departure before it was left. */
  readonly tags: Map<
    string,
    { left: number; readonly before: string; readonly departed: number; readonly step?: string; readonly job: string }
  >;
  /** Findings of a job that no release has closed. */
  readonly findings: Map<string, number>;
  /** Jobs of which a value was last outside, by job and reading. */
  readonly outside: Set<string>;
  /** Jobs that were ever complete. */
  readonly completed: Set<string>;
  /** Jobs whose photo was never entered, and whose step was never left for later. */
  readonly withoutPhoto: Set<string>;
}

interface Tally {
  passed: number;
  excepted: number;
  skipped: number;
  undone: number;
  moved: number;
  completed: number;
  refused: number;
}

type Doing =
  'go on' | 'start' | 'loose' | 'close' | 'skip' | 'undo' | 'outside' | 'rework' | 'move' | 'refuse' | 'depart';

const doing = fc.oneof(
  { weight: 14, arbitrary: fc.constant<Doing>('go on') },
  { weight: 4, arbitrary: fc.constant<Doing>('start') },
  { weight: 2, arbitrary: fc.constant<Doing>('close') },
  // Only the job that is at its hold point can be refused, so most of these come to nothing.
  { weight: 3, arbitrary: fc.constant<Doing>('refuse') },
  {
    weight: 8,
    arbitrary: fc.constantFrom<Doing>('loose', 'skip', 'undo', 'outside', 'rework', 'move', 'refuse', 'depart'),
  },
);

const step = fc.record({ doing, pick: fc.nat(1000), gate: fc.constantFrom(...gates) });

const photo: Data = { file: 'a.jpg', 'file-sha256': 'f'.repeat(64) };
const reason = { because: 'as the walk wants it' };

class Walk {
  readonly engine: Engine = engineWith([rib, ribB, tank, hull, fly], {
    pages: true,
    gates,
    plan: [
      { procedure: 'rib', before: 'hull-close' },
      { procedure: 'tank', each: ['left', 'right'] },
      { procedure: 'hull' },
      { procedure: 'fly' },
    ],
  });
  readonly ledger: Ledger = {
    tags: new Map(),
    findings: new Map(),
    outside: new Set(),
    completed: new Set(),
    withoutPhoto: new Set(),
  };
  readonly departures = new Map<string, number>();
  departed = 0;

  constructor(readonly tally: Tally) {}

  private says(...[verb, object, data]: Parameters<Engine['says']>): Data | undefined {
    const said = this.engine.says(verb, object, data);
    return said.fault() === undefined ? (said.taken().data as Data) : undefined;
  }

  private jobAt(pick: number): JobState | undefined {
    const open = jobsOf(this.engine.state()).filter((job) => !isOver(job));
    const job = open[pick % Math.max(1, open.length)];
    if (job) this.engine.in(job.id);
    return job;
  }

  private start(pick: number): void {
    const [procedure, each] = ([['rib'], ['tank', 'left'], ['tank', 'right'], ['hull'], ['fly']] as const)[
      pick % 5
    ] ?? ['rib'];
    const begun = jobsOf(this.engine.state()).some((job) => job.procedure === procedure && job.side === each);
    if (begun && pick % 31 !== 0) return;
    if (this.says('start', procedure, each === undefined ? {} : { each }) && procedure === 'rib')
      this.ledger.withoutPhoto.add(this.engine.state().jobOrder.at(-1) ?? '');
  }

  /** The finish of a gate step may pass only what the ledger has closed, or what the sheet excepts by name. */
  private finished(job: JobState, id: string, data: Data): void {
    for (const [tag, one] of this.ledger.tags) if (one.job === job.id && one.step === id) this.ledger.tags.delete(tag);
    const sheet = data['gate-sheet'] as GateSheet | undefined;
    if (sheet === undefined) return;
    this.tally.passed += 1;
    this.tally.excepted += sheet.excepted.length;
    expect(sheet.open).toEqual([]);
    this.expectOn(sheet.gate, sheet.excepted, 'passed');
  }

  private goOn(pick: number): void {
    const job = this.jobAt(pick);
    const step = job && currentStep(job);
    if (!job) return;
    if (!step) {
      if (!this.says('complete', undefined)) return;
      this.ledger.completed.add(job.id);
      this.tally.completed += 1;
      return;
    }
    for (const { part } of wantedOf(job, step)) {
      if (part === 'reading') this.read(job, step.readings[0]?.reading ?? '', '0.1 mm');
      if (part === 'photo' && this.says('photo', 'end', photo)) this.ledger.withoutPhoto.delete(job.id);
    }
    if (step.hold) {
      this.engine.as('tobias');
      for (const number of job.findings.filter(({ answers }) => answers.length === 0).map((one) => one.number))
        this.says('answer', number, { remark: 'put right' });
      if (this.says('release', step.step, { remark: 'looked at' })) this.ledger.findings.delete(job.id);
      this.engine.as('ines');
    }
    const data = this.says('finish', step.step);
    if (data) this.finished(job, step.step, data);
  }

  private read(job: JobState, reading: string, value: string): void {
    if (!this.says('read', reading, { value, reason: 'another try' })) return;
    const key = `${job.id} ${reading}`;
    if (value === '9 mm') this.ledger.outside.add(key);
    else this.ledger.outside.delete(key);
  }

  private forget(job: JobState): void {
    // Taken apart or judged anew: what was outside before says nothing now.
    for (const key of this.ledger.outside) if (key.startsWith(`${job.id} `)) this.ledger.outside.delete(key);
  }

  take({ doing, pick, gate }: { doing: Doing; pick: number; gate: string }): void {
    this.engine.at('+1min');
    if (doing === 'go on') return this.goOn(pick);
    if (doing === 'start') return this.start(pick);
    if (doing === 'close') {
      const [tag, one] = [...this.ledger.tags].filter(([, { step }]) => step === undefined)[0] ?? [];
      if (tag === undefined || one === undefined || !this.jobAt(pick)) return;
      if (this.says('close', tag, { count: 1 })) one.left -= 1;
      if (one.left === 0) this.ledger.tags.delete(tag);
      return;
    }
    const job = this.jobAt(pick);
    const current = job && currentStep(job);
    if (!job) return;
    if (doing === 'loose') {
      const count = 1 + (pick % 2);
      const data = this.says('loose', 'guard', { count, left: 'off', before: gate, ...reason });
      if (data)
        this.ledger.tags.set(data['tag'] as string, {
          left: count,
          before: gate,
          departed: this.departed,
          job: job.id,
        });
    } else if (doing === 'skip' && current) {
      const data = this.says('skip', current.step, { before: gate, ...reason });
      if (!data) return;
      this.tally.skipped += 1;
      this.ledger.withoutPhoto.delete(job.id);
      this.ledger.tags.set(data['tag'] as string, {
        left: 1,
        before: gate,
        departed: this.departed,
        step: current.step,
        job: job.id,
      });
    } else if (doing === 'undo' || doing === 'rework') {
      const done = job.plan.steps.filter((one) => job.steps[one.step]?.state === 'done');
      const target = done[pick % Math.max(1, done.length)];
      if (!target) return;
      const data =
        doing === 'undo'
          ? this.says('undo', target.step, reason)
          : this.says('dispose', target.step, { 'as-what': 'rework', reason: 'as the walk wants it' });
      if (data) {
        this.tally.undone += 1;
        this.forget(job);
      }
    } else if (doing === 'outside') {
      const reading = current?.readings[0]?.reading;
      if (reading !== undefined) this.read(job, reading, '9 mm');
    } else if (doing === 'move' && job.procedure === 'rib') {
      if (!this.says('move', job.revision === 'A' ? 'B' : 'A')) return;
      this.tally.moved += 1;
      this.forget(job);
    } else if (doing === 'refuse' && current?.hold) {
      this.engine.as('tobias');
      if (this.says('refuse', current.step, { findings: ['edge rough'] })) {
        this.ledger.findings.set(job.id, 1);
        this.tally.refused += 1;
      }
      this.engine.as('ines');
    } else if (doing === 'depart') {
      const data = this.says('depart', 'gate-open', { says: 'all closed', did: 'left it', because: 'the walk' });
      const sheet = data?.['gate-sheet'] as GateSheet | undefined;
      if (!sheet) return;
      this.departed += 1;
      this.departures.set(sheet.gate, this.departed);
    }
  }

  /** What the ledger says must be named at a gate, each as a test of an item. */
  private wanted(
    gate: string,
  ): readonly { readonly why: string; readonly is: (item: GateItem) => boolean; readonly departed?: number }[] {
    const jobs = jobsOf(this.engine.state());
    const due = planned[gate] ?? [];
    const ofJob = (id: string, kind: GateItem['kind']) => (item: GateItem) => item.job === id && item.kind === kind;
    return [
      ...[...this.ledger.tags]
        .filter(([, { before }]) => gate === 'first-flight' || isDueBefore(gates, before, gate))
        .map(([tag, { departed, step }]) => ({
          why: `${tag} is out`,
          departed,
          is: (item: GateItem) =>
            item.key.split(' ')[0] === tag && item.kind === (step === undefined ? 'loose' : 'skipped'),
        })),
      ...[...this.ledger.findings.keys()].map((id) => ({ why: `${id} has a finding`, is: ofJob(id, 'finding') })),
      ...[...this.ledger.outside].map((key) => ({
        why: `${key} is outside`,
        is: ofJob(key.split(' ')[0] ?? '', 'nonconformance'),
      })),
      ...jobs
        .filter(({ id, procedure }) => due.includes(procedure) && !this.ledger.completed.has(id))
        .map(({ id }) => ({ why: `${id} was never complete`, is: ofJob(id, 'unfinished') })),
      ...jobs
        .filter(({ id, procedure }) => due.includes(procedure) && this.ledger.withoutPhoto.has(id))
        .map(({ id }) => ({ why: `${id} has no photo`, is: ofJob(id, 'photo') })),
      ...due
        .flatMap((procedure) => (procedure === 'tank' ? ['tank left', 'tank right'] : [procedure]))
        .filter((name) => !jobs.some(({ procedure, side }) => [procedure, side].join(' ').trim() === name))
        .map((name) => ({
          why: `${name} is not begun`,
          is: ({ kind, what }: GateItem) => kind === 'not-begun' && what === name,
        })),
    ];
  }

  private expectOn(gate: string, items: readonly GateItem[], when: string): void {
    for (const { why, is } of this.wanted(gate))
      expect(
        items.some(is),
        `${when}, at ${gate}: ${why}; named are ${JSON.stringify(items.map(({ key }) => key))}`,
      ).toBe(true);
  }

  /** The law: what was left open and not ended by name is on the gate sheet; what opened after the last departure is not excepted. */
  holds(): void {
    const { engine } = this;
    for (const gate of gates) {
      const sheet = sheetNow(engine.state(), gate, engine.state().lastAt);
      this.expectOn(gate, [...sheet.open, ...sheet.excepted], 'now');
      const last = this.departures.get(gate) ?? 0;
      for (const { why, is, departed } of this.wanted(gate))
        if (departed !== undefined && departed >= last)
          expect(sheet.open.some(is), `${why} since the departure`).toBe(true);
    }
  }
}

describe('a walk through loose items, skips, undoing, moving, completing and gates', () => {
  it('what was left open and not ended by name is on the gate sheet', () => {
    const tally: Tally = { passed: 0, excepted: 0, skipped: 0, undone: 0, moved: 0, completed: 0, refused: 0 };
    let tried = 0;
    fc.assert(
      fc.property(fc.array(step, { minLength: 60, maxLength: 140 }), (steps) => {
        tried += 1;
        const walk = new Walk(tally);
        for (const one of steps) {
          walk.take(one);
          walk.holds();
        }
      }),
      { numRuns: 30 },
    );
    // The walk reaches the deep end.
    expect(tally.passed).toBeGreaterThan(moreThan(5, 30, tried));
    expect(tally.excepted).toBeGreaterThan(moreThan(5, 30, tried));
    expect(tally.skipped).toBeGreaterThan(moreThan(10, 30, tried));
    expect(tally.undone).toBeGreaterThan(moreThan(20, 30, tried));
    expect(tally.moved).toBeGreaterThan(moreThan(3, 30, tried));
    expect(tally.completed).toBeGreaterThan(moreThan(20, 30, tried));
    expect(tally.refused).toBeGreaterThan(moreThan(0, 30, tried));
  });
});
