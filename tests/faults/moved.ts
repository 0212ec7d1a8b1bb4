import type { MemoryDisk } from '../store/memory-disk.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import { brokenLaws, goOn, lost, machineOn, newStory, withProcedures, type Machine, type Story } from './scene.ts';

/* The state folder goes away in the middle of a session: at every call of the disk after the session has opened it. */

const state = '/state';
const elsewhere = '/elsewhere/state';

const filesIn = (disk: MemoryDisk, folder: string): readonly (readonly [string, Buffer])[] =>
  disk
    .paths()
    .filter((path) => path.startsWith(`${folder}/`))
    .map((path) => [path.slice(folder.length), Buffer.from(disk.bytes(path))]);

const putAll = (disk: MemoryDisk, folder: string, files: readonly (readonly [string, Buffer])[]): void => {
  for (const [name, bytes] of files) disk.put(folder + name, bytes);
};

/** What another program does to the folder. Afterwards the build is `elsewhere`, and what is at the path is none of it. */
const harms: Readonly<Record<string, (disk: MemoryDisk, other: MemoryDisk) => void>> = {
  moved: (disk) => disk.move(state, elsewhere),
  'moved, and an empty folder put there': (disk) => {
    disk.move(state, elsewhere);
    disk.makeFolder(state);
  },
  'replaced by an empty state': (disk) => {
    disk.move(state, elsewhere);
    disk.makeFolder(`${state}/journal`);
  },
  'replaced by a copy of itself': (disk) => {
    disk.move(state, elsewhere);
    putAll(disk, state, filesIn(disk, elsewhere));
  },
  'replaced by another build': (disk, other) => {
    disk.move(state, elsewhere);
    putAll(disk, state, filesIn(other, state));
  },
  emptied: (disk) => {
    putAll(disk, elsewhere, filesIn(disk, state));
    disk.remove(state);
    disk.makeFolder(state);
  },
  unplugged: (disk) => {
    disk.move(state, elsewhere);
    disk.trouble = (_, path) => (path.startsWith(state) ? 'EIO' : undefined);
  },
};

/** Everything at the old path, folders too. */
const picture = (disk: MemoryDisk): string =>
  [
    ...filesIn(disk, state).map(([name, bytes]) => `${name} ${bytes.toString('base64')}`),
    ...['', '/journal', '/attachments', '/procedures', '/builds', '/records', '/torn'].filter(
      (name) => disk.look(state + name) !== undefined,
    ),
  ].join('\n');

const telling: ReadonlySet<string> = new Set(['state-away', 'entry-unsure', 'disk-failed']);

/** One session that goes on with the scene, with the harm at one call after it has opened the folder. `undefined` where it has fewer. */
const harmedAt = (machine: Machine, story: Story, at: number, harm: (disk: MemoryDisk) => void) => {
  const { disk } = machine;
  let [held, calls] = [false, 0];
  let after: string | undefined;
  disk.trouble = (call, path) => {
    held ||= call === 'open' && path === `${state}/journal`;
    if (!held || after !== undefined) return undefined;
    calls += 1;
    if (calls !== at) return undefined;
    disk.trouble = () => undefined;
    harm(disk);
    after = picture(disk);
    return disk.trouble(call, path, 0);
  };
  const ended = goOn(machine, story);
  disk.trouble = () => undefined;
  return after === undefined ? undefined : { after, isTold: ended || story.told.some(({ code }) => telling.has(code)) };
};

export const moved: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'the state folder moved, replaced, emptied or unplugged at every call of the disk in an open session',
      'the session says so and writes nothing more at that path, what it showed as taken is in the build, and the work goes on there',
    );
    const begun = machineOn(newDisk(), procedures);
    const before = newStory();
    goOn(begun, before, undefined, 5);
    const other = machineOn(newDisk(), procedures, 3);
    goOn(other, newStory(), undefined, 4);
    for (const [name, harm] of Object.entries(harms))
      for (let at = 1; ; at += every) {
        const disk = begun.disk.after({ bytes: 1, names: true });
        const machine = machineOn(disk, procedures, 1, 0, 50);
        const story: Story = { shown: [...before.shown], told: [] };
        const harmed = harmedAt(machine, story, at, (one) => harm(one, other.disk));
        if (harmed === undefined) break;
        const found = harmed.isTold ? [] : [`reported as ${story.told.map(({ code }) => code).join()}`];
        if (picture(disk) !== harmed.after) found.push('something was written at the old path');
        const away = { ...machine, place: { ...machine.place, state: elsewhere } };
        found.push(...lost(away, story));
        disk.remove(state);
        disk.move(elsewhere, state);
        disk.remove('/cache-1/locks');
        add(`${name} at call ${at}`, [
          ...found,
          ...brokenLaws(machine, { ...story, told: [] }, at % 5 === 1 ? Infinity : 2),
        ]);
      }
    return told();
  });
