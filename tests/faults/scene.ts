import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fault } from '../../src/fault/fault.ts';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner } from '../../src/signing/signer.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import type { Intent } from '../../src/workshop/intent.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import type { Newcomer } from '../../src/workshop/keys/key-lines.ts';
import { beginBuild, introduce, listPerson } from '../../src/workshop/keys/people.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import type { SignerOf } from '../../src/workshop/keys/signers.ts';
import { verifyState } from '../../src/workshop/verify/verify-state.ts';
import { openWorkshop, type Workshop } from '../../src/workshop/workshop.ts';
import type { MemoryDisk } from '../store/memory-disk.ts';
import { chance } from '../support/chance.ts';

/* A small but complete build: people, a job with a try outside and one within, a photo, a hold, two records; and how to go on with it after harm. */

const block = `
procedure: block
title: Fit a block
revision: A
steps:
  - step: measure
    title: Measure the gap
    readings:
      - { reading: gap, unit: mm, limits: at most 0.2 mm, source: invented }
    photo:
      - { photo: end, show: the end of the block }
  - step: look
    title: Have it looked at
    hold: { by: inspector, look-for: [the gap] }
`;

/** The folder of the scene's procedure: a real one, which no fault touches. */
export const withProcedures = <T>(work: (folder: string) => T): T => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-faults-'));
  writeFileSync(join(folder, 'block.yaml'), block);
  try {
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

export interface Machine {
  readonly place: Workplace;
  readonly disk: MemoryDisk;
  /** Minutes since the scene began; each act takes one. */
  readonly clock: { minute: number };
}

const begin = Date.parse('2026-03-02T08:00:00Z');

/** A machine whose disk is in memory. @param ahead how far its clock is fast, in milliseconds. */
export const machineOn = (disk: MemoryDisk, procedures: string, seed = 1, ahead = 0, minute = 0): Machine => {
  const clock = { minute };
  const next = chance(seed);
  const place: Workplace = {
    disk,
    state: '/state',
    config: `/config-${seed}`,
    cache: `/cache-${seed}`,
    procedures,
    wall: () => begin + ahead + clock.minute * 60_000,
    monotonic: () => clock.minute * 60_000,
    offset: () => 60,
    // A named program also uses what the session before left in the cache.
    program: 'program-of-the-scene',
    random: (length) => Uint8Array.from({ length }, () => Math.floor(next() * 256)),
  };
  return { place, disk, clock };
};

const secret = secretFromSeed(new Uint8Array(32).fill(7));
const inspector = makeSigner(secret);

/** `ines` signs with the key on the machine, `tobias` with a key that he brings along. */
export const signersOf = (place: Workplace, workshop: Workshop): SignerOf => {
  const ring = keyring(place, workshop.state, () => 'ines')({});
  return (person) =>
    person === 'tobias' && workshop.state().keys['tobias'] ? { ok: true, value: inspector } : ring(person);
};

export const picture = '/pictures/end.jpg';

/** The entries of the job; each becomes one line of the journal. */
export const acts: readonly Omit<Intent, 'job'>[] = [
  { verb: 'start', by: 'ines', data: { procedure: 'block' } },
  { verb: 'read', by: 'ines', data: { reading: 'gap', value: '0.3 mm' } },
  { verb: 'read', by: 'ines', data: { reading: 'gap', value: '0.15 mm', reason: 'planed' } },
  { verb: 'temperature', by: 'ines', data: { temperature: '19 °C' } },
  { verb: 'photo', by: 'ines', data: { photo: 'end', file: picture } },
  { verb: 'finish', by: 'ines', data: { step: 'measure' } },
  { verb: 'release', by: 'tobias', data: { step: 'look', remark: 'even all round' } },
  { verb: 'finish', by: 'ines', data: { step: 'look' } },
  { verb: 'complete', by: 'ines', data: {} },
  { verb: 'remark', by: 'ines', data: { text: 'kept dry since' } },
];

/** A line that was shown as taken: its place and its hash. */
export interface Shown {
  readonly entry: string;
  readonly hash: string;
}

/** What was shown and reported over all sessions of one story. */
export interface Story {
  readonly shown: Shown[];
  /** Faults that were reported. */
  readonly told: Fault[];
}

export const newStory = (): Story => ({ shown: [], told: [] });

const linesIn = (
  machine: Machine,
): readonly { readonly entry: string; readonly hash: string; readonly type: string }[] => {
  const read = readJournal(machine.disk, machine.place.state);
  if (!read.ok) return [];
  return read.value.files.flatMap(({ links }) =>
    links.map(({ line, hash }) => ({ entry: `${line.writer}:${line.seq}`, hash, type: line.type })),
  );
};

/** The last line of the journal, where one machine writes. */
export const lastLine = (machine: Machine): Shown | undefined => linesIn(machine).at(-1);

/** The lines that were shown but are not in the journal as shown. */
export const lost = (machine: Machine, { shown }: Story): readonly string[] => {
  const there = new Set(linesIn(machine).map(({ entry, hash }) => `${entry} ${hash}`));
  return shown
    .filter(({ entry, hash }) => !there.has(`${entry} ${hash}`))
    .map(({ entry }) => `${entry} was shown and is lost`);
};

const head = (workshop: Workshop): Shown => {
  const { last } = workshop.openState;
  return { entry: `${last?.line.writer}:${last?.line.seq}`, hash: last?.hash ?? '' };
};

type Step = (signers: SignerOf) => { readonly ok: boolean; readonly fault?: Fault };

/** The scene's next act on this machine, or `undefined` at its end. @param done the number of lines that its acts have already written. */
const nextStep = (workshop: Workshop, done: number): Step | undefined => {
  const state = workshop.state();
  if (state.entries === 0) return () => beginBuild(workshop, { person: 'ines' });
  if (!state.file.people.some(({ person }) => person === 'tobias'))
    return (signers) => listPerson(workshop, { person: 'tobias', powers: ['inspector'] }, 'ines', signers);
  if (state.keys['tobias'] === undefined)
    return (signers) => {
      const by = signers('ines');
      if (!by.ok) return by;
      const file = { path: '/elsewhere', text: '' };
      const brought = { signer: inspector, key: { kind: 'open', secret, file } as const };
      const newcomer: Newcomer = { person: 'tobias', accepts: ['inspector'], brought };
      return introduce(workshop, newcomer, { by: 'ines', signer: by.value });
    };
  const act = acts[done];
  if (act === undefined) return undefined;
  return (signers) => workshop.submit({ ...act, job: act.verb === 'start' ? '' : (state.jobOrder[0] ?? '') }, signers);
};

const isAct = (type: string | undefined): boolean => type !== undefined && type !== 'key' && type !== 'build';

/** The number of failures after which a session is given up. */
const tries = 2;

/**
 * Goes on with the scene from what is on the disk, to its end or for `most` steps. Whatever is taken is shown. A fault of the disk is
 * reported, and the same act is tried again. `false` where the session had to be given up.
 */
export const goOn = (machine: Machine, story: Story, mend = (): void => undefined, most = Infinity): boolean => {
  const opened = openWorkshop(machine.place, 'write');
  if (!opened.ok) {
    story.told.push(opened.fault);
    mend();
    return false;
  }
  const workshop = opened.value;
  try {
    const signers = signersOf(machine.place, workshop);
    let acted = linesIn(machine).filter(({ type }) => isAct(type)).length;
    let failed = 0;
    for (let steps = 0; steps < most; steps += 1) {
      const step = nextStep(workshop, acted);
      if (step === undefined) return true;
      machine.clock.minute += 1;
      const before = workshop.openState.last?.hash;
      const done = step(signers);
      // Several lines may be written before one fails. Those in the journal count as shown.
      if (workshop.openState.last?.hash !== before) story.shown.push(head(workshop));
      if (workshop.openState.last?.hash !== before && isAct(workshop.openState.last?.line.type)) acted += 1;
      if (done.ok) continue;
      if (done.fault !== undefined) story.told.push(done.fault);
      failed += 1;
      if (failed === tries) return false;
      mend();
    }
    return true;
  } finally {
    workshop.close();
  }
};

/** What `verify` calls wrong. */
export const wrongIn = ({ place }: Machine): readonly string[] =>
  verifyState(place)
    .observations.filter(({ level }) => level === 'fault')
    .map(({ what, where }) => `${where}: ${what}`);

/** The whole law for a story that was broken off: nothing shown is lost, nothing is wrong, and the work goes on. */
export const brokenLaws = (machine: Machine, story: Story, most = Infinity): readonly string[] => {
  const found = [...lost(machine, story), ...wrongIn(machine)];
  const told = story.told.length;
  const ended = goOn(machine, story, undefined, most);
  if (!ended || story.told.length > told)
    found.push(`it does not go on: ${story.told.at(-1)?.code ?? '?'} ${story.told.at(-1)?.what ?? ''}`);
  return most === Infinity
    ? [...found, ...lost(machine, story), ...wrongIn(machine)]
    : [...found, ...lost(machine, story)];
};

/** Plays the scene once from its beginning; `before` hears of every call of the disk before it is made. */
export const walk = (
  machine: Machine,
  before: (call: { readonly name: string; readonly path: string; readonly at: number }, story: Story) => void,
): Story => {
  const story = newStory();
  machine.disk.trouble = (name, path) => {
    before({ name, path, at: machine.disk.calls }, { shown: [...story.shown], told: [] });
    return undefined;
  };
  goOn(machine, story);
  machine.disk.trouble = () => undefined;
  return story;
};
