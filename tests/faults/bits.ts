import { verifyRecord } from '../../src/record/verify.ts';
import { readHashed } from '../../src/store/hashed-file.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import { readRecordFiles } from '../../src/workshop/records/record-files.ts';
import { verifyState } from '../../src/workshop/verify/verify-state.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { tally, type Campaign } from './campaign.ts';
import { newDisk } from './cuts.ts';
import { acts, goOn, machineOn, newStory, withProcedures, type Machine } from './scene.ts';

/** All that verify says. Damage is seen when this differs from what verify said of the undamaged state. */
const said = ({ place }: Machine): { readonly text: string; readonly faults: number } => {
  const { observations } = verifyState(place);
  return {
    text: observations.map(({ level, where, what }) => `${level} ${where} ${what}`).join('\n'),
    faults: observations.filter(({ level }) => level === 'fault').length,
  };
};

/** Files that a person edits, or that are made from others. A change in them is reported and is not a fault. */
const told = /^\/state\/(?:build\.yaml|\.gitattributes|allowed_signers)$/;

/** The state that the scene leaves. */
export const wholeState = (procedures: string): Machine => {
  const machine = machineOn(newDisk(), procedures);
  goOn(machine, newStory());
  return machine;
};

/** The same state before its second record: half as many bits, of the same kinds. */
const smallState = (procedures: string): Machine => {
  const machine = machineOn(newDisk(), procedures);
  goOn(machine, newStory(), undefined, acts.length + 2);
  return machine;
};

/** Whether the file's own reader refuses it. Verify and every opening use the same reader, so most bits need no whole verify. */
const isRefusedAlone = ({ disk, place }: Machine, path: string): boolean => {
  const [, , folder = '', name = ''] = path.split('/');
  if (folder === 'journal') {
    const read = readJournal(disk, place.state);
    return read.ok && read.value.damage !== undefined;
  }
  if (folder === 'builds' || folder === 'procedures' || folder === 'attachments')
    return !readHashed(disk, place.state, folder, name.slice(0, 64), name.slice(65)).ok;
  return false;
};

const recordFile = /^(?<folder>.*\/records\/[^/]+\/\d+)\/.+$/;

/** Checks a record by itself, as `dryfit verify FOLDER` does. */
const isRecordRefused = ({ disk }: Machine, path: string): boolean => {
  const { folder } = recordFile.exec(path)?.groups ?? {};
  if (folder === undefined) return false;
  const files = readRecordFiles(disk, folder, `${folder}/record.json`);
  if (!files.ok) return false;
  const { bytes, signature, answers, page } = files.value;
  const signers = disk.bytes('/state/allowed_signers').toString('utf8');
  return verifyRecord({
    bytes,
    answers,
    page,
    signers,
    ...(signature === undefined ? {} : { signature }),
  }).observations.some(({ level }) => level === 'fault');
};

/** One bit in this many goes through a whole verify, whatever the file's own reader says. */
const wholeLook = 97;

/** Whether a session writes to the state. It reads the whole journal, because it runs without the cache of an earlier session. */
const isWrittenOn = (machine: Machine): boolean => {
  const { program: _, ...place } = machine.place;
  const opened = openWorkshop(place, 'write');
  if (!opened.ok) return false;
  const isClosed = opened.value.closed() !== undefined;
  opened.value.close();
  return !isClosed;
};

export const bits: Campaign = ({ every }) =>
  withProcedures((procedures) => {
    const { add, told: sum } = tally(
      'one bit of one file of a state is flipped',
      'the damage is seen: as a fault in what is signed or named by its hash, as a remark elsewhere; nothing is added to a damaged journal',
    );
    const machine = smallState(procedures);
    const whole = said(machine);
    let count = 0;
    for (const path of machine.disk.paths().filter((name) => name.startsWith('/state/'))) {
      const bytes = machine.disk.bytes(path);
      for (let bit = 0; bit < bytes.length * 8; bit += 1) {
        count += 1;
        if (count % every !== 0) continue;
        const at = bit >> 3;
        const byte = bytes[at] ?? 0;
        bytes[at] = byte ^ (1 << (bit & 7));
        const found: string[] = [];
        const isPlain = count % wholeLook !== 0 && (isRefusedAlone(machine, path) || isRecordRefused(machine, path));
        const now = isPlain ? { text: '', faults: 1 } : said(machine);
        if (now.text === whole.text) found.push('not seen');
        else if (now.faults === 0 && !told.test(path)) found.push('seen, and called no fault');
        if (path.endsWith('.jsonl') && count % wholeLook === 0 && isWrittenOn(machine)) found.push('written on');
        bytes[at] = byte;
        add(`${path} bit ${bit}`, found);
      }
    }
    return sum();
  });
