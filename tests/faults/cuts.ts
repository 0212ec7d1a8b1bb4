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

/** What is on the disk when the next process looks: the lock of this very process is none, and that of a dead one is for real kills. */
const back = (disk: MemoryDisk, kept: Kept): MemoryDisk => {
  const after = disk.after(kept);
  after.remove('/cache-1/locks');
  return after;
};

const all: Kept = { bytes: 1, names: true };

/** Every so many-th case is carried on to the end of the scene, the others for some steps. */
const steps = (count: number): number => (count % 10 === 0 ? Infinity : 2);

/** A kill: the process is gone, what it wrote stays. */
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

/** Carries the scene on until the power goes; `true` where it came to its end. */
const untilCut = (disk: MemoryDisk, procedures: string, story: Story, minute: number): boolean => {
  try {
    return goOn(machineOn(disk, procedures, 1, 0, minute), story);
  } catch (error) {
    if (error instanceof PowerCut) return false;
    throw error;
  }
};

/** A kill again and again, also of the session that mends what the one before left. */
export const killsInARow: Campaign = ({ many }) =>
  withProcedures((procedures) => {
    const { add, told } = tally('killed at random, and again while it mends, until the work is done', law);
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

/** Before each write to the journal: the disk as it stands, to which any part of the line may still be added. */
const beforeLines = (procedures: string) => {
  const disk = newDisk();
  const places: { readonly at: MemoryDisk; readonly story: Story }[] = [];
  walk(machineOn(disk, procedures), ({ name, path }, story) => {
    if (name === 'write' && path.endsWith('.jsonl')) places.push({ at: back(disk, all), story });
  });
  const journal = disk.paths().find((path) => path.endsWith('.jsonl')) ?? '';
  return { places, journal, bytes: Buffer.from(disk.bytes(journal)) };
};

/** The process is gone when so many bytes of a line are on the disk. */
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

/** The power goes: of what was not synced any part may be missing, of the names and of the bytes. */
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
