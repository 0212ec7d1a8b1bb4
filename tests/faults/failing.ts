import { isTemporary } from '../../src/store/layout.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import type { MemoryDisk } from '../store/memory-disk.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import {
  brokenLaws,
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

const law =
  'the fault is reported, no answer that was shown is lost, nothing half done is left, and the work goes on once there is room';

/** Removes the lock of a session that did not open or was given up. This process still runs, so the lock would look alive. */
const unlock = ({ disk }: Machine): void => {
  for (const folder of ['/cache-1', '/config-1']) disk.remove(`${folder}/locks`);
};

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

/** The cache folder alone fails, from any of its calls on or once. */
export const cacheFails: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'the cache folder full, read-only, not allowed or no folder, from any of its calls on or at that call alone',
      'nobody is refused, the scene reaches its end, and no fault is reported',
    );
    const inCache = (path: string): boolean => path.startsWith('/cache-1');
    let calls = 0;
    const counted = newDisk();
    counted.trouble = (_, path) => {
      calls += inCache(path) ? 1 : 0;
      return undefined;
    };
    for (const most of [4, Infinity]) goOn(machineOn(counted, procedures), newStory(), undefined, most);
    for (const code of ['ENOSPC', 'EROFS', 'EACCES', 'ENOTDIR', 'EIO'])
      for (const once of [true, false])
        for (let at = 1; at <= calls; at += every) {
          const disk = newDisk();
          const story = newStory();
          let seen = 0;
          disk.trouble = (_, path) => {
            seen += inCache(path) ? 1 : 0;
            return inCache(path) && (once ? seen === at : seen >= at) ? code : undefined;
          };
          const machine = machineOn(disk, procedures);
          const found: string[] = [];
          for (const most of [4, Infinity]) {
            if (!goOn(machine, story, undefined, most)) found.push('it is refused or does not open');
            // a claim that could not be removed counts as ours while this process runs
            const { trouble } = disk;
            disk.trouble = () => undefined;
            unlock(machine);
            disk.trouble = trouble;
          }
          disk.trouble = () => undefined;
          found.push(...story.told.map((fault) => `reported: ${fault.code} ${fault.what}`));
          add(`${code} at call ${at}${once ? ' alone' : ''}`, [...found, ...lost(machine, story), ...wrongIn(machine)]);
        }
    return told();
  });

/** A write or sync of a line fails, and so does taking it back. */
export const unsure: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'each line’s write, cut after some of its bytes, or its sync fails, and then the truncate or the second sync too',
      'it is said that nobody knows whether the entry was kept; the next opening says which, and nothing shown is lost',
    );
    let lines = 0;
    const counted = newDisk();
    counted.trouble = (call, path) => {
      lines += call === 'write' && path.endsWith('.jsonl') ? 1 : 0;
      return undefined;
    };
    goOn(machineOn(counted, procedures), newStory());
    const ways = [1, 40, 300, 'sync'].flatMap((first) =>
      (['truncate', 'syncData'] as const).map((second) => ({ first, second })),
    );
    let count = 0;
    for (let line = 1; line <= lines; line += 1)
      for (const { first, second } of ways) {
        count += 1;
        if (count % every !== 0) continue;
        const disk = newDisk();
        const story = newStory();
        let [seen, failed] = [0, false];
        disk.trouble = (call, path) => {
          if (!path.endsWith('.jsonl')) return undefined;
          if (call === 'write') seen += failed ? 0 : 1;
          if (failed) return call === 'write' || call === second ? 'EIO' : undefined;
          if (seen !== line) return undefined;
          if (first === 'sync' && call === 'syncData') failed = true;
          if (failed) return 'EIO';
          if (first !== 'sync' && call === 'write') {
            failed = true;
            return Number(first);
          }
          return undefined;
        };
        const machine = machineOn(disk, procedures);
        goOn(machine, story);
        disk.trouble = () => undefined;
        unlock(machine);
        const found: string[] = [];
        if (!story.told.some(({ code }) => code === 'entry-unsure')) found.push('not said that nobody knows');
        const opened = openWorkshop(machine.place, 'write');
        const notices = opened.ok ? opened.value.notices().map(({ code }) => code) : [];
        if (opened.ok) opened.value.close();
        if (!notices.some((code) => code === 'entry-kept' || code === 'entry-not-kept')) found.push('not said which');
        add(`line ${line}, ${first}, ${second}`, [...found, ...brokenLaws(machine, { ...story, told: [] })]);
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
