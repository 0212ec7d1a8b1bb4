import { inCausalOrder } from '../../src/aircraft/order.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import type { MemoryDisk } from '../store/memory-disk.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import { goOn, machineOn, newStory, signersOf, withProcedures, wrongIn, type Machine } from './scene.ts';
import { chance } from '../support/chance.ts';

/** Copies every file over, as git's union merge or a synced folder does: each machine writes files of its own. */
const bring = (from: MemoryDisk, to: MemoryDisk): void => {
  for (const path of from.paths().filter((name) => name.startsWith('/state/'))) {
    const there = to.paths().includes(path) ? to.bytes(path) : Buffer.alloc(0);
    if (!path.includes('/journal/') && there.length > 0) continue;
    if (there.length < from.bytes(path).length) to.put(path, Buffer.from(from.bytes(path)));
  }
};

const orderOf = ({ disk, place }: Machine): readonly string[] => {
  const read = readJournal(disk, place.state);
  return read.ok ? inCausalOrder(read.value.files.map(({ links }) => links)).map(({ hash }) => hash) : [];
};

const stateOf = (machine: Machine): string => {
  const opened = openWorkshop(machine.place, 'read');
  if (!opened.ok) return opened.fault.what;
  const text = JSON.stringify(statusOf(opened.value.state(), opened.value.state().lastAt));
  return opened.value.closed() === undefined ? text : `closed: ${opened.value.closed()?.what}`;
};

/** Acts that no rule refuses to anybody, and one that depends on time: a clock behind the other machine's must not matter by itself. */
const actOn = (machine: Machine, next: () => number): readonly string[] => {
  const opened = openWorkshop(machine.place, 'write');
  if (!opened.ok) return [opened.fault.what];
  const { value: workshop } = opened;
  const signers = signersOf(machine.place, workshop);
  const found: string[] = [];
  for (let count = 1 + Math.floor(next() * 3); count > 0; count -= 1) {
    machine.clock.minute += 1 + Math.floor(next() * 90);
    const isNote = next() < 0.5;
    const job = workshop.state().jobOrder[0] ?? '';
    const act = isNote
      ? ({ verb: 'remark', by: 'ines', job, data: { text: 'seen' } } as const)
      : ({ verb: 'temperature', by: 'ines', job: '', data: { temperature: '19 °C' } } as const);
    const done = workshop.submit(act, signers);
    if (!done.ok) found.push(`${act.verb} refused: ${done.fault.code} ${done.fault.what}`);
  }
  if (workshop.state().clockTrouble) found.push(`clock: ${workshop.state().clockTrouble?.why}`);
  workshop.close();
  return found;
};

export const writers: Campaign = ({ many }) =>
  withProcedures((procedures) => {
    const { add, told } = tally(
      'two machines whose clocks stand up to two days apart write at the same time, and are brought together now and then',
      'both then hold the same lines in the same order and the same state, nothing is wrong, and nobody is refused',
    );
    for (let seed = 0; seed < many / 50; seed += 1) {
      const next = chance(seed + 1);
      const one = machineOn(newDisk(), procedures);
      goOn(one, newStory());
      const two = machineOn(newDisk(), procedures, 2, (next() - 0.5) * 4 * 86_400_000, 60);
      two.disk.put('/config-2/keys/ines.key', Buffer.from(one.disk.bytes('/config-1/keys/ines.key')));
      bring(one.disk, two.disk);
      one.clock.minute = 60;
      const found: string[] = [];
      for (let round = 0; round < 3; round += 1) {
        if (next() < 0.8) found.push(...actOn(one, next));
        if (next() < 0.8) found.push(...actOn(two, next));
        if (round < 2 && next() < 0.5) continue;
        bring(one.disk, two.disk);
        bring(two.disk, one.disk);
        if (orderOf(one).join() !== orderOf(two).join()) found.push('another order');
        if (stateOf(one) !== stateOf(two)) found.push('another state');
      }
      add(`seed ${seed}`, [...found, ...wrongIn(one), ...wrongIn(two)]);
    }
    return told();
  });
