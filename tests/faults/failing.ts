import { isTemporary } from '../../src/store/layout.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import type { MemoryDisk } from '../store/memory-disk.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import { brokenLaws, goOn, machineOn, newStory, signersOf, withProcedures, type Machine, type Story } from './scene.ts';

const law =
  'the fault is reported, no answer that was shown is lost, nothing half done is left, and the work goes on once there is room';

/** Removes the lock of a session that did not open or was given up. This process still runs, so the lock would look alive. */
const unlock = ({ disk }: Machine): void => disk.remove('/cache-1/locks');

/** Goes on in new sessions until the scene is at its end. */
const toTheEnd = (machine: Machine, story: Story, mend: () => void): boolean => {
  for (let sessions = 0; sessions < 4; sessions += 1) {
    if (goOn(machine, story, mend)) return true;
    unlock(machine);
  }
  return false;
};

/** Reported faults that are about neither the disk nor a photo that could not be read from it. */
const strange = (story: Story): readonly string[] =>
  story.told
    .filter(({ kind, code }) => kind !== 'disk' && code !== 'file-unreadable')
    .map(({ code, what }) => `reported as ${code}: ${what}`);

const judge = (machine: Machine, story: Story, mend: () => void): readonly string[] => {
  const ended = toTheEnd(machine, story, mend);
  const found = [...strange(story), ...(ended ? [] : ['it does not reach its end'])];
  mend();
  unlock(machine);
  return [...found, ...brokenLaws(machine, { ...story, told: [] })];
};

const writtenByScene = (procedures: string): { readonly bytes: number; readonly calls: number } => {
  const disk = newDisk();
  let bytes = 0;
  disk.trouble = (call, _path, count) => {
    if (call === 'write') bytes += count;
    return undefined;
  };
  goOn(machineOn(disk, procedures), newStory());
  return { bytes, calls: disk.calls };
};

/** Thrown to end a case when the rest of it is the same as in a case before. */
class SameFromHere extends Error {}

/** A file that does not have its final name yet. Nobody reads it. */
const isUnfinished = (path: string): boolean => path.split('/').some(isTemporary);

/** Makes the disk full after `budget` bytes in all, until somebody makes room. */
const fullAfter = (disk: MemoryDisk, budget: number) => {
  let [left, write] = [budget, 0];
  let isFull = false;
  const calls: string[] = [];
  disk.trouble = (call, path, bytes) => {
    if (call === 'read' && isUnfinished(path)) throw new Error(`${path} was read`);
    if (isFull) calls.push(`${call} ${path}`);
    if (call !== 'write') return undefined;
    if (left === 0) {
      if (!isFull) write = disk.calls;
      isFull = true;
      return 'ENOSPC';
    }
    if (!isFull && left < bytes) write = disk.calls;
    isFull ||= left < bytes;
    const taken = Math.min(left, bytes);
    left -= taken;
    return taken;
  };
  return {
    mend: (): void => {
      disk.trouble = () => undefined;
    },
    /** What the process has seen since the disk was full: the call that failed, the calls after it, and all files as they are now. */
    seen: (): string => `${write} ${calls.join()} ${disk.picture(isUnfinished)}`,
  };
};

/**
 * What a process does follows from what it has seen. Two cases may cut a write short at different bytes, then make the same calls and find
 * the same files when there is room again. The rest of both is the same, so it is tried once.
 */
export const full: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally('the disk full after any number of bytes, then room is made', law);
    const { bytes } = writtenByScene(procedures);
    const ends = new Map<string, readonly string[]>();
    for (let budget = 0; budget < bytes; budget += every) {
      const disk = newDisk();
      const story = newStory();
      const { mend, seen } = fullAfter(disk, budget);
      let here: string | undefined;
      const mendOnce = (): void => {
        if (here === undefined) {
          here = `${seen()} ${JSON.stringify(story)}`;
          if (ends.has(here)) throw new SameFromHere();
        }
        mend();
      };
      try {
        const found = judge(machineOn(disk, procedures), story, mendOnce);
        if (here !== undefined) ends.set(here, found);
        add(`full after ${budget} bytes`, found);
      } catch (error) {
        if (!(error instanceof SameFromHere)) throw error;
        add(`full after ${budget} bytes`, ends.get(here ?? '') ?? []);
      }
    }
    return told();
  });

/** Each call of the disk fails in a case of its own, once or from then on. */
export const failing: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'any call of the disk fails with EIO, once or from then on until the disk is changed',
      law,
    );
    const { calls } = writtenByScene(procedures);
    for (let at = 1; at < calls; at += every)
      for (const once of [true, false]) {
        const disk = newDisk();
        let isBroken = true;
        let hasFailed = false;
        disk.trouble = () => {
          if (!isBroken || disk.calls < at || (once && hasFailed)) return undefined;
          hasFailed = true;
          return 'EIO';
        };
        const mend = (): void => {
          isBroken = false;
        };
        add(`call ${at} fails${once ? ' once' : ''}`, judge(machineOn(disk, procedures), newStory(), mend));
      }
    return told();
  });

const writing: ReadonlySet<string> = new Set(['write', 'truncate', 'makeFolder', 'rename', 'remove']);

/** A read-only folder: everything can be seen, an act is refused by name, nothing changes. */
export const readOnly: Campaign = () =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'a state on a read-only disk',
      'everything can be seen, an act is refused by name, nothing changes',
    );
    for (const code of ['EROFS', 'EACCES', 'EPERM']) {
      const disk = newDisk();
      const machine = machineOn(disk, procedures);
      goOn(machine, newStory());
      const before = disk.paths().map((path) => `${path} ${disk.bytes(path).toString('latin1')}`);
      disk.trouble = (call, path) =>
        path.startsWith('/state') && (writing.has(call) || (call === 'open' && !disk.paths().includes(path)))
          ? code
          : undefined;
      const found: string[] = [];
      const opened = openWorkshop(machine.place, 'write');
      if (!opened.ok) found.push(`it cannot be opened: ${opened.fault.what}`);
      else {
        const { value: workshop } = opened;
        if (workshop.state().jobOrder.length !== 1) found.push('the job is not seen');
        const act = {
          verb: 'remark',
          by: 'ines',
          job: workshop.state().jobOrder[0] ?? '',
          data: { text: 'x' },
        } as const;
        const done = workshop.submit(act, signersOf(machine.place, workshop));
        if (done.ok) found.push('an act was taken');
        else if (done.fault.code !== 'disk-read-only') found.push(`refused as ${done.fault.code}`);
        workshop.close();
      }
      unlock(machine);
      const after = disk.paths().map((path) => `${path} ${disk.bytes(path).toString('latin1')}`);
      const changed = after.filter((text) => !before.includes(text) && text.startsWith('/state'));
      add(code, [...found, ...changed.map((text) => `changed: ${text.slice(0, 80)}`)]);
    }
    return told();
  });
