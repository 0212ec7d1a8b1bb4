import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundle } from '../../src/scripts/build.mjs';
import { readChain } from '../../src/proof/chain.ts';
import { coSigned, lineHash, lineText, signed, type JournalLine, type UnsignedLine } from '../../src/proof/line.ts';
import { realDisk } from '../../src/store/disk.ts';
import { publicKeyReader } from '../../src/workshop/journal/public-keys.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import { verifyAhead, type Threads } from '../../src/workshop/journal/signature-threads.ts';
import { verifyState } from '../../src/workshop/verify/verify-state.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { first, second, signRaw, unsigned } from '../proof/lines.ts';

/* A long journal gives the same result on one core and on many. */

const folder = mkdtempSync(join(tmpdir(), 'dryfit-threads-'));
const project = join(import.meta.dirname, '../..');
const script = join(folder, 'worker.js');
const throws = join(folder, 'throws.js');
const takes = join(folder, 'takes.js');
const keeps = join(folder, 'keeps.js');

beforeAll(async () => {
  await bundle(join(project, 'src/workshop/journal/signature-worker.ts'), script);
  writeFileSync(throws, 'throw new Error("it does not start");');
  // dies with a share of the work
  const take = "Atomics.add(require('node:worker_threads').workerData.progress, 1, 1);";
  writeFileSync(takes, take);
  writeFileSync(keeps, `${take}\nfor (;;);`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const least = 500;
const patience = 200;
const threadings: readonly (readonly [string, Threads | undefined])[] = [
  ['this thread', undefined],
  ['one thread', { script, count: 1, least }],
  ['two threads', { script, count: 2, least }],
  ['four threads', { script, count: 4, least }],
  ['a thread that is not there', { script: join(folder, 'nowhere.js'), count: 2, least }],
  ['a thread that ends at once', { script: throws, count: 2, least }],
  ['a thread that ends with what it took', { script: takes, count: 2, least, patience }],
  ['a thread that never answers', { script: keeps, count: 2, least, patience }],
];

const writer = 'abcdefg2';
const lines = 700;

/** The line that introduces the second person, who signs every fifth line after it. */
const newcomer = 100;

/** Changes to lines, by number. Every later line names the changed one, so that only signatures are wrong. */
type Harm = Readonly<Record<number, 'forged' | 'unknown key' | 'forged beside' | 'key too early'>>;

const draftOf = (seq: number, harm: Harm): Partial<UnsignedLine> => {
  if (seq === 1) return { data: { person: 'first', key: first.key.text } };
  if (seq === newcomer)
    return { by: 'second', key: second.key.fingerprint, data: { person: 'second', key: second.key.text } };
  const said = { type: 'temperature', data: { temperature: '19 °C' } };
  if (harm[seq] === 'unknown key') return { ...said, key: `SHA256:${'A'.repeat(43)}` };
  const isSecond = (seq > newcomer && seq % 5 === 0) || harm[seq] === 'key too early';
  return isSecond ? { ...said, by: 'second', key: second.key.fingerprint } : said;
};

const sealedLine = (seq: number, line: UnsignedLine, harm: Harm): JournalLine => {
  const isBeside = seq === newcomer || seq % 37 === 0 || harm[seq] === 'forged beside';
  const hand = harm[seq] === 'forged beside' ? second : first;
  const also = [{ by: 'first', key: first.key.fingerprint, sig: signRaw(hand, coSigned(line)) }];
  const whole = isBeside ? { ...line, also } : line;
  const own = line.by === 'second' ? second : first;
  const other = own === first ? second : first;
  return { ...whole, sig: signRaw(harm[seq] === 'forged' ? other : own, signed(whole)) };
};

const journalOf = (harm: Harm): readonly string[] => {
  const texts: string[] = [];
  let [build, prev] = ['', ''];
  for (let seq = 1; seq <= lines; seq += 1) {
    const text = lineText(sealedLine(seq, unsigned({ ...draftOf(seq, harm), writer, build, seq, prev }), harm));
    prev = lineHash(text);
    if (seq === 1) build = prev;
    texts.push(text);
  }
  return texts;
};

let states = 0;
const stateOf = (texts: readonly string[]): string => {
  states += 1;
  const state = join(folder, `state-${states}`);
  mkdirSync(join(state, 'journal'), { recursive: true });
  writeFileSync(join(state, 'journal', `${writer}.jsonl`), texts.map((text) => `${text}\n`).join(''));
  return state;
};

const placeOf = (state: string, threads: Threads | undefined): Workplace => ({
  disk: realDisk,
  state,
  config: join(folder, 'config'),
  cache: join(folder, 'cache'),
  procedures: folder,
  wall: () => Date.parse('2026-03-02T09:00:00Z'),
  monotonic: () => 0,
  offset: () => 0,
  random: (bytes) => new Uint8Array(bytes),
  ...(threads === undefined ? {} : { threads }),
});

/** The result of opening and of verifying. */
const saidOf = (place: Workplace): unknown => {
  const opened = openWorkshop(place, 'read');
  if (!opened.ok) throw new Error(opened.fault.what);
  const closed = opened.value.closed();
  const { entries } = opened.value.state();
  opened.value.close();
  return { closed, entries, verified: verifyState(place) };
};

describe('a journal of many lines', () => {
  const whole = journalOf({});

  it.each(threadings)('has every line verified: %s', (_, threads) => {
    const { links } = readChain(writer, `journal/${writer}.jsonl`, whole);
    expect(links).toHaveLength(lines);
    const ahead = verifyAhead(links, publicKeyReader(), threads);
    const good = links.filter((link) => ahead?.isGood(link));
    ahead?.end();
    if (threads === undefined || threads.count === 1) expect(ahead).toBeUndefined();
    // the signatures that a dead thread had taken are unknown, so this thread verifies them
    else expect(good.length).toBeGreaterThanOrEqual(threads.patience !== undefined ? lines - 64 : lines);
    expect(saidOf(placeOf(stateOf(whole), threads))).toMatchObject({ closed: undefined, entries: lines });
  });

  it('is verified on this thread where it has few lines', () => {
    const { links } = readChain(writer, `journal/${writer}.jsonl`, whole.slice(0, 499));
    expect(verifyAhead(links, publicKeyReader(), { script, count: 4, least })).toBeUndefined();
  });

  it.each<readonly [string, Harm, number]>([
    ['forged in several places', { 600: 'forged', 210: 'forged', 211: 'forged', 700: 'forged' }, 210],
    ['by a key that nobody introduced', { 420: 'unknown key', 350: 'forged' }, 350],
    ['by a key that nobody introduced, first', { 290: 'unknown key', 350: 'forged' }, 290],
    ['by a good key before it was introduced', { 60: 'key too early', 350: 'forged' }, 60],
    ['beside the line', { 500: 'forged beside', 501: 'forged' }, 500],
    ['in the very first line', { 1: 'forged', 2: 'forged' }, 1],
    ['in the very last line', { 700: 'forged' }, 700],
  ])('reports the first wrong line and nothing else, on any number of threads: %s', (_, harm, line) => {
    const state = stateOf(journalOf(harm));
    // a dead thread costs waiting time, and was tested above
    const [alone, ...others] = threadings.slice(0, -2).map(([, threads]) => saidOf(placeOf(state, threads)));
    expect(alone).toMatchObject({ closed: { kind: 'wrong' }, entries: line - 1 });
    expect(JSON.stringify(alone)).toMatch(new RegExp(`${writer}(?:[.]jsonl)?:${line}"`));
    for (const other of others) expect(other).toEqual(alone);
  });
});
