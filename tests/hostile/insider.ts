import { sha256Hex } from '../../src/proof/hash.ts';
import { lineText, signed, type JournalLine } from '../../src/proof/line.ts';
import { namespaces } from '../../src/proof/sshsig.ts';
import type { Signer } from '../../src/signing/signer.ts';
import { verifyState, type VerifiedState } from '../../src/workshop/verify/verify-state.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { wholeState } from '../faults/bits.ts';
import { tally, type Campaign } from '../faults/campaign.ts';
import { machineOn, signersOf, withProcedures, type Machine } from '../faults/scene.ts';
import { chance } from '../support/chance.ts';

/*
 * An insider: somebody who holds the key of one builder (`ines`) and may write every file of the state. They change, drop, insert or swap
 * entries, and sign the whole chain after that anew. They do not have the inspector's key (`tobias`).
 */

const insider = 'ines';

const journalOf = ({ disk }: Machine): string => disk.paths().find((path) => path.endsWith('.jsonl')) ?? '';

const linesOf = (machine: Machine): readonly JournalLine[] =>
  machine.disk
    .bytes(journalOf(machine))
    .toString('utf8')
    .split('\n')
    .slice(0, -1)
    .map((text) => JSON.parse(text) as JournalLine);

/** What is done with the lines of others that follow a change: their bytes stay, they are left out, or signed in the insider's own name. */
const ways = ['kept', 'dropped', 'assumed'] as const;

/** How the records are treated that no longer fit. */
const recordWays = ['left', 'removed'] as const;

/** The chain as the insider signs it anew. The signatures of others beside the insider's own (`also`) stay: they may still fit. */
const signedAnew = (lines: readonly JournalLine[], signer: Signer, way: (typeof ways)[number]): readonly string[] => {
  const texts: string[] = [];
  let build = '';
  for (const line of lines) {
    const prev = texts.length === 0 ? '' : sha256Hex(texts.at(-1) ?? '');
    if (texts.length === 1) build = prev;
    const place = { prev, build, seq: texts.length + 1 };
    const isSame = line.prev === prev && line.seq === place.seq && line.build === build;
    if (line.by !== insider && (isSame || way === 'kept')) texts.push(lineText(line));
    if (line.by !== insider && !isSame && way === 'dropped') continue;
    if (line.by !== insider && (isSame || way === 'kept')) continue;
    const { sig: _, ...rest } = { ...line, ...place, by: insider, key: signer.fingerprint };
    const raw = signer.signRaw(namespaces.entry, signed(rest));
    texts.push(lineText({ ...rest, sig: Buffer.from(raw.ok ? raw.value : []).toString('base64') }));
  }
  return texts;
};

type Edit = readonly [name: string, lines: readonly JournalLine[]];

/** A line that says something else, as far as its type lets it. */
const reworded = (line: JournalLine): JournalLine => {
  const text = JSON.stringify(line.data)
    .replace('0.15 mm', '0.14 mm')
    .replace('0.3 mm', '0.2 mm')
    .replace('19 °C', '21 °C')
    .replace('kept dry since', 'kept wet since')
    .replace('planed', 'sanded');
  const data = JSON.parse(text) as JournalLine['data'];
  return { ...line, data, at: line.at.replace(/:(\d)(\d)(?=[.+Z-])/, ':$19') };
};

const editsOf = (lines: readonly JournalLine[]): readonly Edit[] => {
  const remark = lines.at(-1);
  return lines.flatMap((line, at): readonly Edit[] => [
    [`entry ${at + 1} reworded`, line.by === insider ? lines.with(at, reworded(line)) : lines],
    [`entry ${at + 1} dropped`, lines.toSpliced(at, 1)],
    [
      `a remark put before entry ${at + 1}`,
      remark === undefined ? lines : lines.toSpliced(at, 0, { ...remark, at: line.at }),
    ],
    [
      `entries ${at + 1} and ${at + 2} swapped`,
      at + 1 < lines.length ? lines.toSpliced(at, 2, lines[at + 1] ?? line, line) : lines,
    ],
    [`the end cut off from entry ${at + 1}`, lines.slice(0, at)],
  ]);
};

/** The same machine with another journal, and the lock of this process put away. `seed` 2 has a configuration of its own. */
const rewritten = (
  machine: Machine,
  procedures: string,
  texts: readonly string[],
  records: string,
  seed = 1,
): Machine => {
  const copy = machineOn(machine.disk.after({ bytes: 1, names: true }), procedures, seed);
  copy.disk.remove('/cache-1/locks');
  if (records === 'removed') copy.disk.remove('/state/records');
  copy.disk.put(journalOf(machine), texts.map((text) => `${text}\n`).join(''));
  return copy;
};

const faultsOf = ({ observations }: VerifiedState): number =>
  observations.filter(({ level }) => level === 'fault').length;

/** What a line says, without the signatures under it, which their owner may make anew. */
const contentOf = (text: string): string => {
  const { sig: _, also: __, ...rest } = JSON.parse(text) as JournalLine;
  return JSON.stringify(rest);
};

/** How far the key of the inspector covers the file, as `verify` says. */
const coveredTo = ({ coverage }: VerifiedState, key: string): number =>
  Math.max(0, ...coverage.flatMap(({ people }) => people.filter((one) => one.key === key).map(({ to }) => to)));

const keyOf = (lines: readonly JournalLine[], person: string): string =>
  lines.find(({ by }) => by === person)?.key ?? '';

const insiderOf = (machine: Machine): Signer => {
  const opened = openWorkshop(machine.place, 'read');
  if (!opened.ok) throw new Error(opened.fault.what);
  const signer = signersOf(machine.place, opened.value)(insider);
  opened.value.close();
  if (!signer.ok) throw new Error(signer.fault.what);
  return signer.value;
};

/** Several edits one after another, by chance. */
const manyEdits = (lines: readonly JournalLine[], next: () => number): Edit => {
  let now: Edit = ['', lines];
  for (let count = 2 + Math.floor(next() * 3); count > 0; count -= 1) {
    const edits = editsOf(now[1]);
    const [name, changed] = edits[Math.floor(next() * edits.length)] ?? ['', now[1]];
    now = [`${now[0]}, ${name}`, changed];
  }
  return now;
};

export const insiders: Campaign = ({ every, many }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'a builder changes, drops, inserts or swaps entries, and signs all that follows anew',
      'what verify says another key covers is as that person signed it, what the covering signature rests on cannot be changed while it is there, and the machine that wrote the file finds every change of its end; what nobody covers may pass elsewhere',
    );
    const machine = wholeState(procedures);
    const signer = insiderOf(machine);
    const lines = linesOf(machine);
    const before = lines.map(lineText);
    const inspector = keyOf(lines, 'tobias');
    const whole = verifyState(machine.place);
    const covered = coveredTo(whole, inspector);
    const alone = whole.coverage[0]?.alone;
    add('the scene: an inspector covers a part, and a part is the builder’s alone', [
      ...(faultsOf(whole) === 0 ? [] : ['the whole state is called wrong']),
      ...(covered > 5 && alone?.from === covered + 1 && alone.person === insider ? [] : ['not so']),
    ]);
    let passed = 0;
    const tryOne = (
      name: string,
      edited: readonly JournalLine[],
      way: (typeof ways)[number],
      records: string,
    ): void => {
      const texts = signedAnew(edited, signer, way);
      if (texts.join('\n') === before.join('\n')) return;
      const found: string[] = [];
      const elsewhere = verifyState(rewritten(machine, procedures, texts, records, 2).place);
      const isGood = faultsOf(elsewhere) === 0;
      const to = isGood ? coveredTo(elsewhere, inspector) : 0;
      for (let at = 0; at < to; at += 1)
        if (contentOf(texts[at] ?? '{}') !== contentOf(before[at] ?? '{}'))
          found.push(`entry ${at + 1} is another, and called covered`);
      const isRestingThere = texts.some((text, at) => at + 1 >= covered && text === before[covered - 1]);
      if (isGood && isRestingThere && texts.slice(0, covered).join('\n') !== before.slice(0, covered).join('\n'))
        found.push('changed under the covering signature, and not found');
      if (faultsOf(verifyState(rewritten(machine, procedures, texts, records).place)) === 0)
        found.push('not found on the machine that wrote it');
      if (isGood) passed += 1;
      add(`${name}, others ${way}, records ${records}`, found);
    };
    let count = 0;
    for (const [name, edited] of editsOf(lines))
      for (const way of ways)
        for (const records of recordWays) {
          count += 1;
          if (count % every === 0) tryOne(name, edited, way, records);
        }
    for (let seed = 1; seed <= many / 10; seed += 1) {
      const next = chance(seed);
      const [name, edited] = manyEdits(lines, next);
      tryOne(name, edited, ways[Math.floor(next() * 3)] ?? 'kept', recordWays[Math.floor(next() * 2)] ?? 'left');
    }
    // What nobody covers: the insider takes the end of the file back, and another machine cannot tell.
    tryOne('the last entry reworded', [...lines.slice(0, -1), ...lines.slice(-1).map(reworded)], 'kept', 'removed');
    tryOne('the last entry dropped', lines.slice(0, -1), 'kept', 'removed');
    add(
      'a builder who rewrites what nobody covers',
      passed > 0 ? [] : ['it never passed: the list of what is covered is too short'],
    );
    return told();
  });
