import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { drawn } from '../../src/bench/drawing/marks.ts';
import { isBookVerb, type BenchPort } from '../../src/bench/ports.ts';
import { runBench } from '../../src/bench/run.ts';
import { newSession, type InfoPage } from '../../src/bench/session/state.ts';
import { frameText, type Frame } from '../../src/bench/view/frame.ts';
import { screenOf } from '../../src/bench/view/screen.ts';
import { usage } from '../../src/fault/fault.ts';
import type { Key } from '../../src/terminal/keys.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { chance } from '../support/chance.ts';
import { hostilePlace, hostileState, steering } from '../support/hostile-state.ts';

const folder = mkdtempSync(join(tmpdir(), 'dryfit-steering-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

// eslint-disable-next-line no-control-regex -- finding control characters is what it is for
const harmful = /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/;

const infos: readonly InfoPage[] = ['steps', 'values', 'loose', 'departures', 'findings', 'clocks', 'revision', 'keys'];

const keys: readonly Key[] = [
  ...(['enter', 'enter', 'escape', 'up', 'down', 'page-down'] as const).map((name): Key => ({ kind: 'named', name })),
  ...Array.from(' 1234567890bfmxn', (text): Key => ({ kind: 'char', text })),
];

test('no screen of the bench shows a control character of a journal, a refusal or a file', () => {
  hostileState(folder);
  const opened = openWorkshop(hostilePlace(folder), 'read');
  if (!opened.ok) throw new Error(opened.fault.what);
  const state = opened.value.state();
  let asked = 0;
  let shown = 0;
  const port: BenchPort = {
    build: () => state,
    submit: (act) =>
      (asked += 1) % 2 === 0
        ? { kind: 'fault', fault: { ...usage('x', steering, steering), where: steering } }
        : {
            kind: 'done',
            done: {
              entry: 'w:1',
              at: '2026-03-02T09:00:00Z',
              by: 'ines',
              job: act.job,
              type: isBookVerb(act.verb) ? 'build' : act.verb,
              data: act.data,
              told: [steering],
              record: steering,
            },
          },
    introduce: () => ({ kind: 'locked', person: steering, wrong: true }),
    procedures: () => [{ id: steering, title: steering, fault: usage('x', steering, steering) }],
    answering: () => [],
    keys: () => ['ines', steering],
    keep: () => {},
  };
  const seen = new Set<string>();
  const looked = (frame: Frame): void => {
    for (const line of frameText(frame, drawn)) {
      expect(line).not.toMatch(harmful);
      if (line.includes('u{1b}')) shown += 1;
    }
  };
  for (let seed = 1; seed <= 24; seed += 1) {
    const next = chance(seed);
    let mono = 0;
    const size = { columns: seed % 3 === 0 ? 200 : seed % 3 === 1 ? 48 : 90, rows: seed % 3 === 1 ? 13 : 40 };
    const bench = runBench({
      port,
      session: newSession('ines', 'by size', 'none'),
      size: () => size,
      now: () => ({ ms: Date.parse('2026-03-02T12:00:00Z') + mono, offset: 60 }),
      monotonic: () => mono,
      marks: drawn,
      bell: () => {},
      leave: () => {},
    });
    for (let pressed = 0; pressed < 90; pressed += 1) {
      mono += 500;
      bench.press(keys[Math.floor(next() * keys.length)] ?? keys[0]!);
      const page = bench.session().pages.at(-1);
      if (page) seen.add(page.page === 'info' ? `info ${page.info}` : page.page);
      looked(bench.frame());
    }
  }
  const [job = ''] = state.jobOrder;
  const world = { build: state, procedures: [], answering: [], keys: [], now: { ms: state.lastAt, offset: 60 } };
  for (const info of infos)
    for (const size of [
      { columns: 48, rows: 60 },
      { columns: 120, rows: 90 },
    ]) {
      const session = newSession('ines', 'by size', 'none');
      looked(screenOf({ ...session, pages: [{ page: 'info', info, job, scroll: 0 }] }, world, size, drawn));
    }
  expect([...seen]).toEqual(expect.arrayContaining(['walk', 'menu', 'refused', 'jobs', 'form', 'procedures']));
  expect(seen.size).toBeGreaterThan(8);
  expect(shown).toBeGreaterThan(100);
});
