import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ascii } from '../../src/bench/drawing/marks.ts';
import type { BenchPort } from '../../src/bench/ports.ts';
import { runBench, type Bench } from '../../src/bench/run.ts';
import { newSession, topPage } from '../../src/bench/session/state.ts';
import { frameText } from '../../src/bench/view/frame.ts';
import { workshopPort } from '../../src/bench/workshop-port.ts';
import type { Outcome } from '../../src/fault/fault.ts';
import { realDisk } from '../../src/store/disk.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import { beginBuild, introduce } from '../../src/workshop/keys/people.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import { openWorkshop, type Workshop } from '../../src/workshop/workshop.ts';
import { fixture } from '../support/command.ts';
import { handTimers, type HandTimers } from '../support/hand-timers.ts';

/* An opened key is locked again when nobody signs for ten minutes, by a clock that the test sets. */

const minute = 60_000;
const begins = Date.parse('2026-03-02T08:00:00Z');

let folder: string;
let timers: HandTimers;
let workshop: Workshop;

const placeIn = (): Workplace => ({
  disk: realDisk,
  state: join(folder, 'state'),
  config: join(folder, 'config'),
  cache: join(folder, 'cache'),
  procedures: fixture('procedures'),
  wall: () => begins + timers.now(),
  monotonic: () => timers.now(),
  offset: () => 60,
  random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
});

const must = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(outcome.fault.what);
  return outcome.value;
};
const codeOf = (outcome: Outcome<unknown>): string => (outcome.ok ? 'taken' : outcome.fault.code);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'dryfit-keyring-'));
  timers = handTimers();
  workshop = must(openWorkshop(placeIn(), 'write'));
});
afterEach(() => {
  workshop.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('an opened key', () => {
  const scene = () => {
    const ines = must(beginBuild(workshop, { person: 'ines', passphrase: 'one' }));
    must(introduce(workshop, { person: 'tobias', passphrase: 'two' }, { by: 'ines', signer: ines }));
    const ring = keyring(workshop.place, workshop.state, () => 'ines');
    return (person: string, passphrase?: string) =>
      codeOf(ring(passphrase === undefined ? {} : { passphrases: { [person]: passphrase } })(person));
  };

  it('stays open for whoever is signed on, as long as they sign within ten minutes of each other', () => {
    const sign = scene();
    expect(sign('ines')).toBe('passphrase-wanted');
    expect(sign('ines', 'wrong')).toBe('passphrase');
    expect(sign('ines')).toBe('passphrase-wanted'); // a wrong passphrase opens nothing
    expect(sign('ines', 'one')).toBe('taken');
    for (let times = 0; times < 6; times += 1) {
      timers.pass(10 * minute);
      expect(sign('ines')).toBe('taken');
    }
    timers.pass(10 * minute + 1);
    expect(sign('ines')).toBe('passphrase-wanted');
    expect(sign('ines')).toBe('passphrase-wanted');
    expect(sign('ines', 'one')).toBe('taken');
  });

  it('of another person must be opened for each act', () => {
    const sign = scene();
    expect(sign('tobias', 'two')).toBe('taken');
    expect(sign('tobias')).toBe('passphrase-wanted');
  });
});

const keys = (text: string) => Array.from(text, (character) => ({ kind: 'char', text: character }) as const);
const enter = { kind: 'named', name: 'enter' } as const;

const openAt = (port: BenchPort, by?: string, job?: string): Bench =>
  runBench({
    port,
    session: newSession(by, 'by size', 'light', []),
    ...(job === undefined ? {} : { job }),
    size: () => ({ columns: 80, rows: 24 }),
    now: () => ({ ms: begins + timers.now(), offset: 60 }),
    monotonic: timers.now,
    marks: ascii,
    bell: () => undefined,
    leave: () => undefined,
  });

describe('the bench', () => {
  let bench: Bench;
  const type = (...texts: readonly string[]): void => {
    for (const text of texts) {
      timers.pass(500);
      for (const key of text === 'enter' ? [enter] : keys(text)) bench.press(key);
    }
  };
  const page = () => topPage(bench.session())?.page;
  const screen = () => frameText(bench.frame(), ascii).join('\n');

  it('asks for the passphrase again after ten idle minutes, and loses nothing that was typed', () => {
    const port = workshopPort({ workshop, keep: () => undefined });
    bench = openAt(port);
    type('Ines', 'enter', 'enter', 'enter', 'keel and strut', 'enter', 'keel and strut', 'enter', 'enter');
    expect(Object.keys(workshop.state().keys)).toEqual(['ines']);
    // the passphrase that was just typed twice serves the first act, which opens the key
    const { submit } = port;
    const act = { verb: 'temperature', job: '', by: 'ines', data: { temperature: '19 °C' } } as const;
    expect(submit(act, {}, 'ines').kind).toBe('done');
    expect(submit(act, {}, 'ines').kind).toBe('done');
    timers.pass(10 * minute + 1);
    expect(submit(act, {}, 'ines')).toEqual({ kind: 'locked', person: 'ines', wrong: false });

    const entries = workshop.state().entries;
    const start = { verb: 'start', job: '', by: 'ines', data: { procedure: 'small-plate', each: 'left' } } as const;
    expect(submit(start, { ines: 'keel and strut' }, 'ines').kind).toBe('done');
    const [job = ''] = workshop.state().jobOrder;
    bench = openAt(port, 'ines', job);
    type('12.5');
    timers.pass(10 * minute + 1);
    type('enter');
    expect(page()).toBe('passphrase');
    expect(workshop.state().entries).toBe(entries + 1);
    bench.press({ kind: 'named', name: 'escape' });
    expect(page()).toBe('walk');
    expect(screen()).toContain('1 2 . 5');
    type('enter', 'keel and', 'enter');
    expect(screen()).toContain('the passphrase is not right');
    type('keel and strut', 'enter');
    expect(page()).toBe('walk');
    expect(workshop.state().entries).toBe(entries + 2);
    expect(screen()).toContain('12.5 mm');
  });
});
