import { memoryDisk, PowerCut, type MemoryDisk } from '../store/memory-disk.ts';
import { tally, type Campaign } from './campaign.ts';
import { brokenLaws, goOn, machineOn, newStory, picture, walk, withProcedures, type Story } from './scene.ts';
import { chance } from '../support/chance.ts';

const law = 'no answer that was shown is lost, nothing is called damage, and the work goes on';

export const newDisk = (): MemoryDisk => {
  const disk = memoryDisk();
  disk.put(picture, 'a picture');
  return disk;
};

type Kept = Parameters<MemoryDisk['after']>[0];

/** The disk as the next process finds it, without the lock: this process still runs, so its lock would look alive. */
const back = (disk: MemoryDisk, kept: Kept): MemoryDisk => {
  const after = disk.after(kept);
  for (const folder of ['/cache-1', '/config-1']) after.remove(`${folder}/locks`);
  return after;
};

const all: Kept = { bytes: 1, names: true };

/** One case in ten goes on to the end of the scene, the others for two steps. */
const steps = (count: number): number => (count % 10 === 0 ? Infinity : 2);

/** A kill: the process is gone, and what it wrote stays. */
export const kills: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally('killed before every call of the disk', law);
    const disk = newDisk();
    walk(machineOn(disk, procedures), ({ name, path, at }, story) => {
      if (at % every !== 0) return;
      const after = machineOn(back(disk, all), procedures, 1, 0, 100);
      add(`killed before call ${at}, ${name} ${path}`, brokenLaws(after, story, steps(at / every)));
    });
    return told();
  });

/** Goes on with the scene until the power goes; `true` where it reached its end. */
const untilCut = (disk: MemoryDisk, procedures: string, story: Story, minute: number): boolean => {
  try {
    return goOn(machineOn(disk, procedures, 1, 0, minute), story);
  } catch (error) {
    if (error instanceof PowerCut) return false;
    throw error;
  }
};

/** Kills one session after another, also while a session repairs what the one before left. */
export const killsInARow: Campaign = ({ many }) =>
  withProcedures((procedures) => {
    const { add, told } = tally('killed at random, again and again, also during a repair, until the work is done', law);
    for (let seed = 1, killed = 0; killed < many; seed += 1) {
      const next = chance(seed);
      const story = newStory();
      let disk = newDisk();
      for (let session = 0; session < 60; session += 1) {
        disk.cutAt(10 + Math.floor(next() * 60));
        if (untilCut(disk, procedures, story, session * 100)) break;
        killed += 1;
        disk = back(disk, all);
        add(`seed ${seed}, session ${session}`, []);
      }
      add(`seed ${seed}`, brokenLaws(machineOn(back(disk, all), procedures, 1, 0, 10_000), story));
    }
    return told();
  });

/** The disk before each write to the journal. Any part of the line can be added to it. */
const beforeLines = (procedures: string) => {
  const disk = newDisk();
  const places: { readonly at: MemoryDisk; readonly story: Story }[] = [];
  walk(machineOn(disk, procedures), ({ name, path }, story) => {
    if (name === 'write' && path.endsWith('.jsonl')) places.push({ at: back(disk, all), story });
  });
  const journal = disk.paths().find((path) => path.endsWith('.jsonl')) ?? '';
  return { places, journal, bytes: Buffer.from(disk.bytes(journal)) };
};

/** The process is killed in the middle of a line, after each of its bytes. */
export const killsInALine: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally('killed after every byte of every line: torn tails of every length', law);
    const { places, journal, bytes } = beforeLines(procedures);
    for (const { at, story } of places) {
      const from = at.paths().includes(journal) ? at.bytes(journal).length : 0;
      const to = bytes.indexOf(0x0a, from) + 1;
      for (let length = from + 1; length <= to; length += every) {
        const disk = at.after(all);
        disk.put(journal, bytes.subarray(0, length));
        const machine = machineOn(disk, procedures, 1, 0, 100);
        add(`after ${length} bytes`, brokenLaws(machine, { shown: [...story.shown], told: [] }, steps(length)));
      }
    }
    return told();
  });

/** The power goes: any part of the names and bytes that were not synced may be missing. */
export const powerCuts: Campaign = ({ every, many }) =>
  withProcedures((procedures) => {
    const { add, told } = tally('power cut before every call, what was not synced dropped or kept at random', law);
    const cases = Math.max(1, Math.floor(many / 320));
    const disk = newDisk();
    walk(machineOn(disk, procedures), ({ name, path, at }, story) => {
      if (at % every !== 0) return;
      for (let seed = 0; seed < cases; seed += 1) {
        const next = chance(seed * 7919 + at);
        const kept: Kept = seed === 0 ? { bytes: 0, names: false } : { bytes: next, names: () => next() < 0.5 };
        const after = machineOn(back(disk, kept), procedures, 1, 0, 100);
        const found = brokenLaws(after, { shown: [...story.shown], told: [] }, steps(at / every + seed));
        add(`cut before call ${at}, ${name} ${path}, ${seed}`, found);
      }
    });
    return told();
  });
