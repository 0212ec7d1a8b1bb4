import { openWorkshop } from '../../src/workshop/workshop.ts';
import { beginBuild } from '../../src/workshop/keys/people.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import {
  goOn,
  lost,
  machineOn,
  newStory,
  signersOf,
  withProcedures,
  wrongIn,
  type Machine,
  type Story,
} from './scene.ts';
import type { MemoryDisk } from '../store/memory-disk.ts';

/*
 * Two writers on one folder. The first one's line reaches the other only in part: because it is being written just then, or
 * because its file was copied half.
 */

/** A disk in memory that stays as it is, with a copy of all its files. */
const copied = (disk: MemoryDisk): MemoryDisk => disk.after({ bytes: 1, names: true });

/** Another machine or user on the same disk, with a configuration and a cache of its own, and the same person's key. */
const otherOn = (disk: MemoryDisk, procedures: string, minute: number): Machine => {
  const other = machineOn(disk, procedures, 2, 0, minute);
  disk.put('/config-2/keys/ines.key', Buffer.from(disk.bytes('/config-1/keys/ines.key')));
  return other;
};

/** One session that enters a remark, closed or killed. Gives what it found odd. */
const remark = (machine: Machine, story: Story, end: 'closed' | 'killed' = 'closed'): readonly string[] => {
  const opened = openWorkshop(machine.place, 'write');
  if (!opened.ok) return [`it does not open: ${opened.fault.what}`];
  const { value: workshop } = opened;
  machine.clock.minute += 1;
  const job = workshop.state().jobOrder[0] ?? '';
  const act = { verb: 'remark', by: 'ines', job, data: { text: 'kept dry since' } } as const;
  const done = workshop.submit(act, signersOf(machine.place, workshop));
  if (done.ok) story.shown.push({ entry: done.value.entry, hash: workshop.openState.last?.hash ?? '' });
  if (end === 'closed') workshop.close();
  else machine.disk.remove(`${machine.place.cache}/locks`);
  return done.ok ? [] : [`a remark is refused: ${done.fault.code} ${done.fault.what}`];
};

const journals = ({ disk }: Machine): readonly string[] =>
  disk.paths().filter((path) => path.startsWith('/state/journal/') && path.endsWith('.jsonl'));

/** The first steps of the scene, written by one machine. */
const begun = (procedures: string): { readonly machine: Machine; readonly story: Story; readonly own: string } => {
  const machine = machineOn(newDisk(), procedures);
  const story = newStory();
  goOn(machine, story, undefined, 5);
  return { machine, story, own: journals(machine)[0] ?? '' };
};

/** Copies the files of a state over, or only where they are longer there. */
const bring = (from: MemoryDisk, to: MemoryDisk, isOver: boolean): void => {
  for (const path of from.paths().filter((name) => name.startsWith('/state/'))) {
    const there = to.paths().includes(path) ? to.bytes(path).length : -1;
    if (isOver || there < from.bytes(path).length) to.put(path, Buffer.from(from.bytes(path)));
  }
};

const judge = (machines: readonly Machine[], story: Story): readonly string[] => {
  const found = machines.flatMap((machine) => [...lost(machine, story), ...wrongIn(machine)]);
  for (const machine of machines) found.push(...remark(machine, story));
  for (const from of machines) for (const to of machines) if (from !== to) bring(from.disk, to.disk, false);
  return [...found, ...machines.flatMap((machine) => [...lost(machine, story), ...wrongIn(machine)])];
};

/** The line goes out in two writes, and the other writes in the gap. */
export const inTheGap: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'two users on one folder: a line goes out in two writes, cut after every byte, and the other writes in the gap',
      'both entries stay, nothing is cut or damaged, and both go on',
    );
    const { machine } = begun(procedures);
    const line = copied(machine.disk);
    remark(machineOn(line, procedures, 1, 0, 100), newStory());
    const own = journals(machine)[0] ?? '';
    const length = line.bytes(own).length - machine.disk.bytes(own).length;
    for (let cut = 1; cut < length; cut += every) {
      const disk = copied(machine.disk);
      const story = newStory();
      const first = machineOn(disk, procedures, 1, 0, 100);
      const second = otherOn(disk, procedures, 100);
      const found: string[] = [];
      let writes = 0;
      disk.trouble = (call, path) => {
        if (call !== 'write' || path !== own) return undefined;
        writes += 1;
        if (writes === 1) return cut;
        disk.trouble = () => undefined;
        found.push(...remark(second, story));
        return undefined;
      };
      found.push(...remark(first, story));
      if (story.shown.length !== 2) found.push(`${story.shown.length} of 2 entries were taken`);
      add(`after ${cut} bytes`, [...found, ...judge([first, second], story)]);
    }
    return told();
  });

/** Who writes after the half copy, and how the folder comes back. */
const ways = [
  ['the other writes, and its folder is copied back over', false, true],
  ['both write, and the longer of each file stays', true, false],
  ['the other writes, and the longer of each file stays', false, false],
  ['both write, and the other’s folder is copied back over', true, true],
] as const;

/**
 * The first machine's file was copied half. Copied back over, it takes entries out of the first one's folder: no program can keep
 * that. Then the first machine says so, and its file from anywhere else brings them back.
 */
export const halfCopied: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'a file copied in part, after every byte of its last line, written beside on the other machine and brought back',
      'the piece is never cut, what a copy took away is named by the machine that wrote it, its own file brings it back, and both go on',
    );
    const { machine, story: before, own } = begun(procedures);
    const start = machine.disk.bytes(own).length;
    const ended = (['closed', 'killed'] as const).map((end) => {
      const whole = copied(machine.disk);
      const entered: Story = { shown: [...before.shown], told: [] };
      remark(machineOn(whole, procedures, 1, 0, 100), entered, end);
      return { end, whole, entered, bytes: Buffer.from(whole.bytes(own)) };
    });
    for (let length = start + 1; length < (ended[0]?.bytes.length ?? 0); length += every)
      for (const [index, [way, both, isOver]] of ways.entries()) {
        const session = ended[(length + index) % 2];
        if (session === undefined) continue;
        const { end, whole, entered, bytes } = session;
        const story: Story = { shown: [...entered.shown], told: [] };
        const first = machineOn(copied(whole), procedures, 1, 0, 110);
        const second = otherOn(copied(whole), procedures, 110);
        second.disk.remove('/config-1');
        second.disk.put(own, bytes.subarray(0, length));
        const found = [...remark(second, story)];
        if (!second.disk.bytes(own).equals(bytes.subarray(0, length))) found.push('the piece was cut or moved');
        if (both) found.push(...remark(first, story));
        const kept = Buffer.from(first.disk.bytes(own));
        bring(second.disk, first.disk, isOver);
        if (isOver && length < bytes.length - 1) {
          const opened = openWorkshop(first.place, 'write');
          const isTold = opened.ok && opened.value.notices().some(({ what }) => what.includes('missing'));
          if (!isTold) found.push('the missing entry is not named');
          if (opened.ok) opened.value.close();
          found.push(...remark(first, story));
        }
        first.disk.put(own, kept);
        bring(first.disk, second.disk, true);
        add(`${end}, ${way}, ${length} bytes`, [...found, ...judge([first, second], story)]);
      }
    return told();
  });

/** The build is being begun in the gap: a second one beside it would never open. */
export const beginnings: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'two users on one empty folder: the first line of a build cut after every byte, and the other begins a build in the gap',
      'the other is refused by name, there is one build, and the first goes on',
    );
    const whole = begun(procedures);
    const length = whole.machine.disk.bytes(whole.own).indexOf(0x0a) + 1;
    for (let cut = 0; cut < length; cut += every) {
      const disk = newDisk();
      const first = machineOn(disk, procedures);
      const second = machineOn(disk, procedures, 2);
      const story = newStory();
      const found: string[] = [];
      let writes = 0;
      disk.trouble = (call, path) => {
        if (call !== 'write' || !path.endsWith('.jsonl')) return undefined;
        writes += 1;
        if (writes === 1 && cut > 0) return cut;
        disk.trouble = () => undefined;
        const opened = openWorkshop(second.place, 'write');
        if (!opened.ok) found.push(`it does not open: ${opened.fault.what}`);
        else {
          const done = beginBuild(opened.value, { person: 'rhea' });
          if (done.ok || done.fault.code !== 'build-arriving') found.push('a second build was begun');
          opened.value.close();
        }
        return undefined;
      };
      if (!goOn(first, story, undefined, 4)) found.push('the first does not go on');
      add(`after ${cut} bytes`, [...found, ...lost(first, story), ...wrongIn(first)]);
    }
    return told();
  });
