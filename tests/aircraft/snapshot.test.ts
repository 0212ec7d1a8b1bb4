import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decideBuild } from '../../src/aircraft/decide.ts';
import { jobIn } from '../../src/aircraft/jobs.ts';
import { serialize, serializeAfter, restore, restoreLaid } from '../../src/aircraft/snapshot.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import { emptyBuild, jobsOf, type BuildState } from '../../src/aircraft/state.ts';
import { readBytes } from '../../src/procedure/load.ts';
import { planFor } from '../../src/procedure/plan.ts';
import { fromPlainValue, toPlainValue } from '../../src/quantity/plain.ts';
import { evolveRaw } from '../support/entries.ts';
import { err, ok, wrong } from '../../src/fault/fault.ts';
import type { RawEntry } from '../../src/job/entry.ts';
import { readLog } from '../../src/job/logger/read.ts';

const procedures = readdirSync('procedures')
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => `procedures/${name}`);

const procedureOf = (file: string) => {
  const { procedure, messages } = readBytes(readFileSync(file), file, { checks: false });
  if (procedure === undefined) throw new Error(messages[0]?.what);
  return procedure;
};

describe('a plan as plain text', () => {
  it.each([...procedures, 'tests/procedure/every-key.yaml'])('%s is read back unchanged', (file) => {
    const procedure = procedureOf(file);
    for (const side of procedure.each.length === 0 ? [undefined] : procedure.each) {
      const plan = planFor(procedure, side);
      const back: unknown = JSON.parse(JSON.stringify(plan, toPlainValue), fromPlainValue);
      expect(back).toEqual(plan);
      // Exact values are read back as exact values, not as plain objects that look like them.
      expect(JSON.stringify(back, toPlainValue)).toBe(JSON.stringify(plan, toPlainValue));
    }
  });
});

describe('a table with keys that somebody chose', () => {
  const keys = fc.oneof(
    fc.constantFrom('$', 'of', '__proto__', 'constructor', 'dimension', 'factor', 'name'),
    fc.string(),
  );
  const tables = fc.dictionary(keys, fc.oneof(fc.string(), fc.dictionary(keys, fc.string(), { maxKeys: 4 })), {
    maxKeys: 4,
  });

  it('is read back unchanged, whatever its keys are', () => {
    fc.assert(
      fc.property(tables, (table) => {
        expect(JSON.parse(JSON.stringify(table, toPlainValue), fromPlainValue)).toEqual({ ...table });
      }),
    );
  });
});

const entry = (seq: number, type: string, job: string, data: RawEntry['data']): RawEntry => ({
  id: `w:${seq}`,
  hash: (seq * 7919).toString(16).padStart(6, '0').padEnd(64, '0'),
  at: `2026-03-02T09:${String(seq % 60).padStart(2, '0')}:00+01:00`,
  by: 'first',
  job,
  type,
  data,
  also: [],
});

const library = {
  procedure: (sha256: string) => ok(procedureOf(`procedures/${sha256}.yaml`)),
  build: () => err(wrong('none', 'none', 'none')),
  log: () =>
    readLog(Buffer.from('time,temperature (°C)\n2026-03-02T09:00:00Z,20.5\n2026-03-02T09:10:00Z,19\n'), 'log.csv'),
};

const built = (count: number): BuildState => {
  let state = emptyBuild;
  for (let seq = 1; seq <= count; seq += 1) {
    const job = state.jobOrder.at(-1) ?? '';
    const next =
      seq % 7 === 1
        ? entry(seq, 'start', '', {
            sha256: seq % 2 === 0 ? 'strut-bolts' : 'fuel-flow',
            procedure: 'x',
            revision: 'A',
          })
        : entry(seq, 'remark', job, { text: `remark ${seq}` });
    const after = evolveRaw(state, next, library);
    if (!after.ok) throw new Error(after.fault.what);
    state = after.value;
  }
  return state;
};

describe('a snapshot of the build', () => {
  it('is read back unchanged, and reads a job only when somebody asks for it', () => {
    const state = built(40);
    const lines = serialize(state);
    expect(lines.every((line) => !line.includes('\n'))).toBe(true);
    const asked: number[] = [];
    const back = restore((number) => {
      asked.push(number);
      return lines[number] ?? '';
    });
    expect(asked).toEqual([0]);
    expect(jobsOf(back)).toEqual(jobsOf(state));
    const { jobs: _jobs, ...rest } = back;
    const { jobs: _same, ...others } = state;
    expect(rest).toEqual(others);
    expect(serialize(back)).toEqual(lines);
  });

  it('gives its status without reading the story of any job, and reads a story once', () => {
    const state = built(40);
    const lines = serialize(state);
    const asked: string[] = [];
    const back = restore((number) => {
      asked.push(lines[number] ?? '');
      return lines[number] ?? '';
    });
    const isStory = (line: string): boolean => line.startsWith('{"log":');
    expect(lines.filter(isStory)).toHaveLength(state.jobOrder.length);
    const at = state.lastAt + 1000;
    expect(statusOf(back, at)).toEqual(statusOf(state, at));
    expect(asked.filter(isStory)).toEqual([]);
    const [id = ''] = state.jobOrder;
    for (const _ of [1, 2]) {
      expect(jobIn(back.jobs, id)?.log).toEqual(jobIn(state.jobs, id)?.log);
      expect(jobIn(back.jobs, id)?.remarks).toEqual(jobIn(state.jobs, id)?.remarks);
    }
    expect(asked.filter(isStory)).toHaveLength(1);
  });

  it('decides a remark in one job without reading another', () => {
    const state = built(40);
    const lines = serialize({ ...state, keys: { first: [] } });
    const asked: string[] = [];
    const back = restore((number) => {
      asked.push(lines[number] ?? '');
      return lines[number] ?? '';
    });
    const [id = ''] = state.jobOrder;
    const at = '2026-03-03T09:00:00+01:00';
    const said = { verb: 'remark', by: 'first', job: id, at, data: { text: 'kept dry' } } as const;
    expect(decideBuild(back, said, library).ok).toBe(true);
    const ids = state.jobOrder.filter((one) => asked.some((line) => line.startsWith(`{"id":"${one}"`)));
    expect(ids).toEqual([id]);
  });

  it('names by their number the lines that no entry has changed, and reads none of them', () => {
    let state = built(40);
    let lines = serialize(state);
    // a snapshot is made of a snapshot, over and over, while the build goes on
    for (const round of [0, 1, 2, 3]) {
      const before = lines;
      const asked = new Set<number>();
      const { state: back, laid } = restoreLaid((number) => {
        asked.add(number);
        return before[number] ?? '';
      });
      expect(serializeAfter(back, laid).slice(1)).toEqual(before.slice(1).map((_, index) => index + 1));
      // the second line has the statuses of the jobs that are over
      expect([...asked]).toEqual([0, 1]);
      const next = entry(41 + round, 'remark', state.jobOrder[round % state.jobOrder.length] ?? '', {
        text: `${round}`,
      });
      const [a, b] = [evolveRaw(state, next, library), evolveRaw(back, next, library)];
      if (!a.ok || !b.ok) throw new Error('refused');
      const changed = serializeAfter(b.value, laid);
      expect(changed.filter((line) => typeof line === 'string')).toHaveLength(3);
      lines = changed.map((line) => (typeof line === 'number' ? (before[line] ?? '') : line));
      state = a.value;
      expect(jobsOf(restore((number) => lines[number] ?? ''))).toEqual(jobsOf(state));
      expect(lines).toEqual(serialize(state));
    }
  });

  it('goes on as the build itself would', () => {
    const state = built(30);
    const lines = serialize(state);
    const back = restore((number) => lines[number] ?? '');
    const next = entry(31, 'remark', state.jobOrder[0] ?? '', { text: 'and on' });
    const [a, b] = [evolveRaw(state, next, library), evolveRaw(back, next, library)];
    if (!a.ok || !b.ok) throw new Error('refused');
    expect(jobsOf(b.value)).toEqual(jobsOf(a.value));
    expect(jobIn(b.value.jobs, state.jobOrder[0] ?? '')?.remarks).toHaveLength(7);
  });
});
