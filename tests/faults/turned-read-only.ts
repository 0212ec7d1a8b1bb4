import { openWorkshop } from '../../src/workshop/workshop.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import {
  brokenLaws,
  goOn,
  lastLine,
  lost,
  machineOn,
  newStory,
  signersOf,
  withProcedures,
  wrongIn,
  type Machine,
  type Story,
} from './scene.ts';

/* The state folder, or a part of it, can only be read from some call in an open session on, and can be written again later. */

const state = '/state';
const changing: ReadonlySet<string> = new Set(['write', 'truncate', 'makeFolder', 'rename', 'remove']);
const inFolders: ReadonlySet<string> = new Set(['makeFolder', 'rename', 'remove']);

type Refuses = (call: string, path: string, isThere: boolean) => boolean;

/** What can no longer be written. A file that is open already stays writable where only its folder was changed. */
const parts: Readonly<Record<string, Refuses>> = {
  'the whole disk': (call, path, isThere) =>
    path.startsWith(state) && (changing.has(call) || (call === 'open' && !isThere)),
  'all folders': (call, path, isThere) =>
    path.startsWith(state) && (inFolders.has(call) || (call === 'open' && !isThere)),
  'the journal': (call, path) => path.startsWith(`${state}/journal`) && changing.has(call),
  'all but the journal': (call, path, isThere) =>
    path.startsWith(state) &&
    !path.startsWith(`${state}/journal`) &&
    (changing.has(call) || (call === 'open' && !isThere)),
};

/** When it can be written again: after the first refusal, or for the next session only. */
const backs = ['at once', 'later'] as const;

/** The faults that name the reason. */
const named: ReadonlySet<string> = new Set(['disk-read-only', 'entry-unsure']);

/** One session with the harm at one call after it has opened the folder. `false` where it has fewer calls. */
const session = (
  { disk, ...machine }: Machine,
  story: Story,
  at: number,
  refuses: Refuses,
  code: string,
  back: (typeof backs)[number],
): boolean => {
  let [held, calls, isMended] = [false, 0, false];
  disk.trouble = (call, path) => {
    held ||= call === 'open' && path === `${state}/journal`;
    if (held) calls += 1;
    return calls >= at && !isMended && refuses(call, path, disk.look(path) !== undefined) ? code : undefined;
  };
  goOn({ disk, ...machine }, story, () => {
    if (back === 'at once') isMended = true;
  });
  disk.trouble = () => undefined;
  return calls >= at;
};

/**
 * Where the journal can be written and `records/` cannot, the record of a completed job is owed while the session goes on. `verify` calls
 * it missing then, because it cannot know that the disk refused it. The next entry writes it.
 */
const isOwed = (found: string): boolean => found.includes('a record of this completed job is missing after it');

const afterOneMore = (machine: Machine): readonly string[] => {
  const opened = openWorkshop(machine.place, 'write');
  if (!opened.ok) return [`it does not open: ${opened.fault.what}`];
  const { value: workshop } = opened;
  try {
    machine.clock.minute += 1;
    const job = workshop.state().jobOrder[0] ?? '';
    const act = { verb: 'remark', by: 'ines', job, data: { text: 'one more' } } as const;
    const done = workshop.submit(act, signersOf(machine.place, workshop));
    return done.ok ? [] : [`one more entry is refused: ${done.fault.what}`];
  } finally {
    workshop.close();
  }
};

export const turnedReadOnly: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'a state that can only be read from any call of an open session on, whole or in part, and can be written again later',
      'nothing shown as taken is missing, nothing refused is there, the reason is named, the work goes on, and a record that was refused is written with the next entry',
    );
    const begun = machineOn(newDisk(), procedures);
    const before = newStory();
    goOn(begun, before, undefined, 5);
    for (const [name, refuses] of Object.entries(parts))
      for (const code of ['EROFS', 'EACCES'])
        for (const back of backs)
          for (let at = 1; ; at += every) {
            const disk = begun.disk.after({ bytes: 1, names: true });
            const machine = machineOn(disk, procedures, 1, 0, 50);
            const story: Story = { shown: [...before.shown], told: [] };
            if (!session(machine, story, at, refuses, code, back)) break;
            const odd = story.told.filter((one) => !named.has(one.code)).map((one) => `reported as ${one.code}`);
            const last = lastLine(machine);
            const extra = last?.hash === story.shown.at(-1)?.hash ? [] : [`${last?.entry} is there and was refused`];
            disk.remove('/cache-1/locks');
            const broken = brokenLaws(machine, { ...story, told: [] }, at % 5 === 1 ? Infinity : 2);
            const owed = broken.some(isOwed) ? [...afterOneMore(machine), ...wrongIn(machine)] : [];
            add(`${name}, ${code}, from call ${at} on, back ${back}`, [
              ...odd,
              ...extra,
              ...lost(machine, story),
              ...broken.filter((one) => !isOwed(one)),
              ...owed,
            ]);
          }
    return told();
  });
