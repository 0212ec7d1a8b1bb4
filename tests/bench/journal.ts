import { createHash } from 'node:crypto';
import fs from 'node:fs';
import { join } from 'node:path';
import { printInstant } from '../../src/quantity/time.ts';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner, signLine } from '../../src/signing/signer.ts';
import { realDisk } from '../../src/store/disk.ts';
import type { SealedLine } from '../../src/proof/line.ts';
import { openAppender } from '../../src/store/journal-append.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import { compared, type Result } from './measures.ts';
import { inTurns } from './statistics.ts';

export const signer = makeSigner(secretFromSeed(new Uint8Array(32).fill(9)));
export const writer = 'abcdefgh';
const begun = Date.parse('2026-03-02T08:00:00Z');

/** Consecutive lines, as a person's readings make them. */
export const linesOf = (count: number): readonly SealedLine[] => {
  const lines: SealedLine[] = [];
  let [prev, build] = ['', ''];
  for (let seq = 1; seq <= count; seq += 1) {
    const data =
      seq === 1
        ? { person: 'ines', key: signer.publicKey.text }
        : { reading: `gap-${seq % 40}`, value: '0.15 mm', reason: 'planed, and measured again' };
    const [type, job] = seq === 1 ? ['key', ''] : ['read', 'keel-scarf-bond-0a1b2c'];
    const at = printInstant(begun + seq * 60_000, 60);
    const sealed = signLine({ v: 1, build, writer, seq, prev, seen: {}, at, by: 'ines', job, type, data }, signer);
    if (!sealed.ok) throw new Error(sealed.fault.what);
    lines.push(sealed.value);
    prev = sealed.value.hash;
    if (seq === 1) build = sealed.value.hash;
  }
  return lines;
};

const timed = (work: () => void): Promise<number> => {
  const begun = performance.now();
  work();
  return Promise.resolve(performance.now() - begun);
};

/** Appending one entry to the disk, against writing and syncing the same bytes alone. */
export const append = async (folder: string): Promise<Result> => {
  const lines = linesOf(1000);
  const state = join(folder, 'append');
  fs.mkdirSync(join(state, 'journal'), { recursive: true });
  const appender = openAppender(realDisk, state, writer);
  const bare = fs.openSync(join(folder, 'bare'), 'a');
  const each = 10;
  let [ours, theirs] = [0, 0];
  const pairs = await inTurns(
    80,
    () =>
      timed(() => {
        for (const line of lines.slice(ours, (ours += each)))
          if (!appender.append(line).ok) throw new Error('not appended');
      }),
    () =>
      timed(() => {
        for (const { text } of lines.slice(theirs, (theirs += each))) {
          fs.writeSync(bare, `${text}\n`);
          fs.fdatasyncSync(bare);
        }
      }),
  );
  appender.close();
  fs.closeSync(bare);
  return compared('append, 10 entries', 'write + fdatasync', 1.3, pairs);
};

/** Reading a journal of 200,000 entries and checking its chain, against JSON.parse and SHA-256 over the same lines. */
export const reading = async (folder: string): Promise<Result> => {
  const state = join(folder, 'reading');
  const path = join(state, 'journal', `${writer}.jsonl`);
  fs.mkdirSync(join(state, 'journal'), { recursive: true });
  fs.writeFileSync(
    path,
    `${linesOf(200_000)
      .map(({ text }) => text)
      .join('\n')}\n`,
  );
  const pairs = await inTurns(
    5,
    () =>
      timed(() => {
        const read = readJournal(realDisk, state);
        if (!read.ok || read.value.damage !== undefined) throw new Error('not read');
      }),
    () =>
      timed(() => {
        for (const line of fs.readFileSync(path, 'utf8').split('\n').slice(0, -1)) {
          JSON.parse(line);
          createHash('sha256').update(line).digest('hex');
        }
      }),
  );
  return compared('reading 200,000 entries', 'JSON.parse + SHA-256', 2, pairs);
};
