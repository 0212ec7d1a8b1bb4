import { appendFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { sha256Hex } from '../../src/proof/hash.ts';
import type { UnsignedLine } from '../../src/proof/line.ts';
import { newSecret } from '../../src/signing/secret.ts';
import { makeSigner, signLine } from '../../src/signing/signer.ts';
import { printInstant } from '../../src/quantity/time.ts';

/** Entries of one job: its start, remarks, its end. */
const perJob = 100;
const writer = 'benchaaa';
const begun = Date.parse('2026-01-05T08:00:00Z');

/** Writes a state with this many signed entries, in jobs of a hundred entries each, as it would be after years. */
export const longBuild = (state: string, entries: number, procedure: string): void => {
  const text = readFileSync(procedure);
  const sha256 = sha256Hex(text);
  for (const name of ['journal', 'procedures']) mkdirSync(join(state, name), { recursive: true });
  writeFileSync(join(state, 'procedures', `${sha256}.yaml`), text);
  const signer = makeSigner(newSecret((length) => crypto.getRandomValues(new Uint8Array(length))));
  let [build, prev, job] = ['', '', ''];
  let lines: string[] = [];
  const enter = (seq: number, line: Pick<UnsignedLine, 'type' | 'job' | 'data'>): string => {
    const at = printInstant(begun + seq * 60_000, 0);
    const sealed = signLine({ v: 1, build, writer, seq, prev, seen: {}, at, by: 'first', ...line }, signer);
    if (!sealed.ok) throw new Error(sealed.fault.what);
    prev = sealed.value.hash;
    lines.push(`${sealed.value.text}\n`);
    return prev;
  };
  build = enter(1, { type: 'key', job: '', data: { person: 'first', key: signer.publicKey.text } });
  for (let seq = 2; seq <= entries; seq += 1) {
    const place = (seq - 2) % perJob;
    if (place === 0) {
      const hash = enter(seq, { type: 'start', job: '', data: { procedure: 'strut-bolts', revision: 'A', sha256 } });
      job = `strut-bolts-${hash.slice(0, 6)}`;
    } else if (place === perJob - 1) enter(seq, { type: 'complete', job, data: {} });
    else enter(seq, { type: 'remark', job, data: { text: `looked at nut ${place}: the mark stands` } });
    if (lines.length < 5000 && seq < entries) continue;
    appendFileSync(join(state, 'journal', `${writer}.jsonl`), lines.join(''));
    lines = [];
  }
};
