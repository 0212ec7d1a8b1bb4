import { describe, expect, test } from 'vitest';
import { ascii, drawn } from '../../src/bench/drawing/marks.ts';
import { rowText, rowWidth, type Row } from '../../src/bench/drawing/rows.ts';
import type { BenchFacts } from '../../src/bench/ports.ts';
import { menuItems } from '../../src/bench/session/menu.ts';
import { newSession, push } from '../../src/bench/session/state.ts';
import { frameText } from '../../src/bench/view/frame.ts';
import { revisionText } from '../../src/bench/view/revision.ts';
import { screenOf } from '../../src/bench/view/screen.ts';
import { jobIn } from '../../src/aircraft/jobs.ts';
import type { JobState } from '../../src/job/state.ts';
import { engineWith, procedureOf } from '../support/engine.ts';

const page = `procedure: rig
title: Rig the stop
revision: A
steps:
  - { step: down, title: Down to the stop, do: Move the stick the other way., readings: [{ reading: down, unit: °, limits: 14 ± 1 °, source: invented }] }
  - { step: look, title: Have it looked at, hold: { by: inspector, look-for: [the stop] } }
  - { step: tidy, title: Tidy }
`;

const next = page
  .replace('revision: A', 'revision: B')
  .replace('14 ± 1 °', '15 ± 1 °')
  .replace('Move the stick', 'Move the stick slowly');

/** A job that has passed the step which the new page changes. */
const worldWith = (value: string, lying = next): BenchFacts => {
  const engine = engineWith([page, next]);
  engine.says('start', 'rig').taken();
  engine.says('read', 'down', { value }).taken();
  engine.says('finish', 'down').taken();
  const procedure = procedureOf(lying);
  const sha256 = lying === next ? 'f'.repeat(64) : engine.job().sha256;
  return {
    build: engine.state(),
    procedures: [{ id: 'rig', title: procedure.title, procedure, sha256 }],
    answering: [],
    keys: ['ines'],
    now: { ms: Date.parse('2026-03-02T09:00:00Z'), offset: 60 },
  };
};

const jobIdOf = ({ build }: BenchFacts): string => build.jobOrder.at(-1) ?? '';

const screen = (world: BenchFacts, columns: number, rows: number, plain = false): readonly string[] => {
  const marks = plain ? ascii : drawn;
  const job = jobIdOf(world);
  const walk = push(newSession('ines', 'by size', 'none'), { page: 'walk', job, scroll: 0 });
  const session = push(walk, { page: 'info', info: 'revision', job, scroll: 0 });
  return frameText(screenOf(session, world, { columns, rows }, marks), marks);
};

const labels = (world: BenchFacts): readonly string[] => {
  const engineJob = jobIdOf(world);
  const session = menuItems(world, 'work', jobOfWorld(world, engineJob));
  return session.map(({ label }) => label);
};

const jobOfWorld = (world: BenchFacts, id: string): JobState => {
  const job = jobIn(world.build.jobs, id);
  if (job === undefined) throw new Error(`no job ${id}`);
  return job;
};

describe('the new page, at the bench', () => {
  test('is shown beside the old one from 100 columns up', () => {
    const lines = screen(worldWith('13.5 °'), 100, 30);
    const both = lines.filter((line) => line.includes('14 ± 1 °') && line.includes('15 ± 1 °') && line.includes('│'));
    expect(both.length).toBeGreaterThan(0);
    expect(lines.some((line) => /^ *(?:was|now) {2}/.test(line))).toBe(false);
    expect(lines.every((line) => line.length <= 100)).toBe(true);
  });

  test('is shown under the old one in narrower terminals, and in the bench view', () => {
    for (const [columns, rows] of [
      [99, 30],
      [48, 40],
    ] as const) {
      const lines = screen(worldWith('13.5 °'), columns, rows);
      expect(lines.some((line) => /^ *was +14 ± 1 °/.test(line))).toBe(true);
      expect(lines.some((line) => /^ *now +15 ± 1 °/.test(line))).toBe(true);
      expect(lines.every((line) => line.length <= columns)).toBe(true);
    }
  });

  test('says what it means for work that is recorded', () => {
    const outside = screen(worldWith('13.5 °'), 100, 40).join('\n');
    expect(outside).toContain('no longer within: down 13.5 ° no longer lies within 15 ± 1 °, not decided');
    expect(outside).toContain('moved now, open again: down');
    const within = screen(worldWith('14.2 °'), 100, 40).join('\n');
    expect(within).toContain('still within: down 14.2 ° still lies within 15 ± 1 °');
    expect(within).toContain('moved now, every finished step stands');
  });

  test('is in the menu only where the folder has another revision', () => {
    expect(labels(worldWith('13.5 °'))).toEqual(
      expect.arrayContaining(['what the new page changes', 'decide about a change', 'follow revision B']),
    );
    expect(labels(worldWith('14.2 °'))).not.toContain('decide about a change');
    expect(labels(worldWith('13.5 °', page)).join()).not.toMatch(/page|revision/);
    expect(labels(worldWith('13.5 °')).length).toBeLessThanOrEqual(9);
  });

  test('never exceeds the width of the terminal', () => {
    const world = worldWith('13.5 °');
    const job = jobOfWorld(world, jobIdOf(world));
    for (let width = 38; width <= 100; width += 1) {
      const rows = revisionText(world, job, { width, rows: 20, desk: false, side: 0, marks: drawn });
      expect(Math.max(...rows.map(rowWidth))).toBeLessThanOrEqual(width);
    }
    const same = worldWith('13.5 °', page);
    const text = revisionText(same, jobOfWorld(same, jobIdOf(same)), {
      width: 46,
      rows: 20,
      desk: false,
      side: 0,
      marks: ascii,
    });
    expect(text.map((one: Row) => rowText(one)).join(' ')).toContain('is the one that this job follows');
  });
});
