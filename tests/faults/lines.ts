import { verifyState } from '../../src/workshop/verify/verify-state.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { tally, type Campaign } from './campaign.ts';
import { wholeState } from './bits.ts';
import { newDisk } from './cuts.ts';
import { goOn, machineOn, newStory, withProcedures, type Machine } from './scene.ts';

/** Changes the lines of a journal: their order, their number, whose they are. */
type Edit = readonly [name: string, lines: readonly string[]];

const pairs = (count: number): readonly (readonly [number, number])[] =>
  Array.from({ length: count }, (_, one) => one).flatMap((one) =>
    Array.from({ length: count }, (_, other) => [one, other] as const),
  );

/** Lines of a build with the same people, work and times, and other keys. */
const foreignLines = (procedures: string): readonly string[] => {
  const other = machineOn(newDisk(), procedures, 2);
  goOn(other, newStory());
  return linesOf(other);
};

const journalOf = ({ disk }: Machine): string => disk.paths().find((path) => path.endsWith('.jsonl')) ?? '';
const linesOf = (machine: Machine): readonly string[] =>
  machine.disk.bytes(journalOf(machine)).toString('utf8').split('\n').slice(0, -1);

/** Puts another line in the place of one, under the same writer's name: the most that is possible without the key. */
const forged = (line: string): readonly string[] =>
  [
    line.replace('"at":"2026-03-02', '"at":"2026-03-01'),
    line.replace(/"data":\{/, '"data":{"a":"b",'),
    line.replace('"by":"ines"', '"by":"tobias"'),
    line.replace('0.15 mm', '0.14 mm'),
  ].filter((text) => text !== line);

const edits = (lines: readonly string[], foreign: readonly string[]): readonly Edit[] => [
  ...lines.map((_, at): Edit => [`line ${at + 1} removed`, lines.toSpliced(at, 1)]),
  ...lines.slice(1).map((_, at): Edit => [`lines from ${at + 2} on removed`, lines.slice(0, at + 1)]),
  ...pairs(lines.length).map(([one, to]): Edit => [
    `line ${one + 1} repeated before ${to + 1}`,
    lines.toSpliced(to, 0, lines[one] ?? ''),
  ]),
  ...lines.map((line): Edit => ['a line repeated at the end', [...lines, line]]),
  ...pairs(lines.length)
    .filter(([one, other]) => one < other)
    .map(([one, other]): Edit => [
      `lines ${one + 1} and ${other + 1} swapped`,
      lines.with(one, lines[other] ?? '').with(other, lines[one] ?? ''),
    ]),
  ...pairs(lines.length).map(([one, to]): Edit => [
    `line ${one + 1} of another build before ${to + 1}`,
    lines.toSpliced(to, 0, foreign[one] ?? ''),
  ]),
  ...pairs(lines.length).map(([one, to]): Edit => [
    `line ${one + 1} of another build for ${to + 1}`,
    lines.with(to, foreign[one] ?? ''),
  ]),
  ...lines.flatMap((line, at) => forged(line).map((text): Edit => [`line ${at + 1} forged`, lines.with(at, text)])),
];

/** Whether `verify` sees it, or the next session that writes: that one also remembers its own writer, outside the state. */
const isSeen = (machine: Machine): boolean => {
  if (verifyState(machine.place).observations.some(({ level }) => level === 'fault')) return true;
  const opened = openWorkshop(machine.place, 'write');
  if (!opened.ok) return true;
  const { value: workshop } = opened;
  const isTold = workshop.closed() !== undefined || workshop.notices().some(({ code }) => code === 'writer-new');
  workshop.close();
  return isTold;
};

export const lines: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'lines of the journal removed, repeated, swapped, forged, or taken from another build',
      'it is seen: by verify, or, where lines are cut off that nothing rests on, by the machine that wrote them',
    );
    const machine = wholeState(procedures);
    const whole = linesOf(machine);
    const foreign = foreignLines(procedures);
    const journal = journalOf(machine);
    for (const [index, [name, changed]] of edits(whole, foreign).entries()) {
      if (index % every !== 0 || changed.join('\n') === whole.join('\n')) continue;
      const copy = machineOn(machine.disk.after({ bytes: 1, names: true }), procedures);
      copy.disk.remove('/cache-1/locks');
      copy.disk.put(journal, changed.map((line) => `${line}\n`).join(''));
      add(name, isSeen(copy) ? [] : ['not seen']);
    }
    return told();
  });
