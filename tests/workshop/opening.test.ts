import {
  appendFileSync,
  copyFileSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  utimesSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { jobsOf, type BuildState } from '../../src/aircraft/state.ts';
import { typedText } from '../../src/job/parse.ts';
import { realDisk, type Disk } from '../../src/store/disk.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import { openWorkshop, type Workshop } from '../../src/workshop/workshop.ts';
import { chance } from '../support/chance.ts';
import { fixture, machine, projectFolder, type Machine } from '../support/command.ts';

/*
 * Opening where the last session ended gives the same build without reading the journal. As soon as anything was touched, the
 * journal is read.
 */

let own: Machine;
let journal = '';
const reads: string[] = [];
/** Bytes of the journal that were read, and the open files of it. */
let journalBytes = 0;
const journalFiles = new Set<number>();
const counting: Disk = {
  ...realDisk,
  open: (path, how, mode) => {
    if (how === 'read') reads.push(path);
    const fd = realDisk.open(path, how, mode);
    if (how === 'read' && path.startsWith(join(own.state, 'journal'))) journalFiles.add(fd);
    else journalFiles.delete(fd);
    return fd;
  },
  read: (fd, into, at) => {
    const count = realDisk.read(fd, into, at);
    if (journalFiles.has(fd)) journalBytes += count;
    return count;
  },
};

const placeOf = (program: string | undefined = 'this program'): Workplace => ({
  disk: counting,
  state: own.state,
  config: join(own.folder, 'config'),
  cache: join(own.folder, 'cache'),
  procedures: join(projectFolder, 'procedures'),
  wall: () => Date.parse('2026-04-01T09:00:00Z'),
  monotonic: () => 0,
  offset: () => 60,
  random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
  ...(program === undefined ? {} : { program }),
});

const open = (mode: 'read' | 'write' = 'read', program?: string): Workshop => {
  reads.length = 0;
  journalBytes = 0;
  const opened = openWorkshop(placeOf(program), mode);
  if (!opened.ok) throw new Error(opened.fault.what);
  return opened.value;
};

const hasReadJournal = (): boolean => reads.some((path) => path.startsWith(join(own.state, 'journal')));

const remark = (workshop: Workshop, text: string): void => {
  const job = workshop.state().jobOrder[0] ?? '';
  const signers = keyring(workshop.place, workshop.state, () => undefined)({});
  const done = workshop.submit({ verb: 'remark', job, by: 'first', data: { text } }, signers);
  if (!done.ok) throw new Error(done.fault.what);
};

/** Everything in a build state, with its jobs, their entries and the temperatures read, so that it can be closed. */
const whole = (state: BuildState): unknown => {
  const { jobs: _jobs, ...rest } = state;
  return { rest: { ...rest, temperatures: { ...rest.temperatures } }, jobs: jobsOf(state).map((job) => ({ ...job })) };
};

const session = (mode: 'read' | 'write', text?: string): unknown => {
  const workshop = open(mode);
  if (text !== undefined) remark(workshop, text);
  const state = whole(workshop.state());
  workshop.close();
  return state;
};

let template: Machine;
beforeAll(async () => {
  template = machine();
  const ran = await template.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', template.state]);
  expect(ran).toMatchObject({ code: 0, err: '' });
});

beforeEach(() => {
  own = machine();
  realDisk.makeFolder(own.state);
  for (const name of readdirSync(template.state, { recursive: true, withFileTypes: true })) {
    const from = join(name.parentPath, name.name);
    const to = join(own.state, from.slice(template.state.length + 1));
    if (name.isDirectory()) realDisk.makeFolder(to);
  }
  for (const name of readdirSync(template.state, { recursive: true, withFileTypes: true })) {
    const from = join(name.parentPath, name.name);
    if (name.isFile()) copyFileSync(from, join(own.state, from.slice(template.state.length + 1)));
  }
  const [file = ''] = readdirSync(join(own.state, 'journal'));
  journal = join(own.state, 'journal', file);
});

describe('opening where the last session ended', () => {
  it('gives the same build, and reads no journal', () => {
    const first = session('read');
    expect(hasReadJournal()).toBe(true);
    expect(session('read')).toEqual(first);
    expect(hasReadJournal()).toBe(false);
  });

  it('continues writing, session after session, and verify agrees', async () => {
    for (let count = 1; count <= 40; count += 1) {
      const state = session('write', `session ${count}`);
      // the first session finds nothing, and gets a writer of its own
      if (count > 1) expect(reads.filter((path) => path.startsWith(join(own.state, 'journal'))).length).toBeLessThan(2);
      if (count % 13 === 0) {
        rmSync(join(own.folder, 'cache'), { recursive: true });
        expect(session('read')).toEqual(state);
        expect(hasReadJournal()).toBe(true);
      }
    }
    expect(readdirSync(join(own.state, 'journal'))).toHaveLength(2);
    const verified = await own.run(['verify', '--state', own.state]);
    expect(verified).toMatchObject({ code: 0, err: '' });
  });

  it('has the rows of an imported log without its file, and reads everything again once the file was touched', () => {
    const rows = (workshop: Workshop): readonly number[] =>
      Object.values(workshop.state().logs)
        .flat()
        .flatMap((mark) => [...mark.rows().ms]);
    const first = open('write');
    const file = own.file('log.csv', 'time,temp (C)\n2026-03-20 09:00,20\n2026-03-20 09:10,19.5\n');
    const signers = keyring(first.place, first.state, () => undefined)({});
    const done = first.submit({ verb: 'temperatures', job: '', by: 'first', data: { file, offset: 'Z' } }, signers);
    expect(done.ok ? 'taken' : done.fault.what).toBe('taken');
    const known = rows(first);
    first.close();
    const attachment = join(
      own.state,
      'attachments',
      `${(done.ok && typedText(done.value.data, 'file-sha256')) || ''}.csv`,
    );
    const again = open();
    expect(rows(again)).toEqual(known);
    expect(hasReadJournal()).toBe(false);
    expect(reads).not.toContain(attachment);
    again.close();
    appendFileSync(attachment, '2026-03-20 09:20,25\n');
    const touched = open();
    expect(hasReadJournal()).toBe(true);
    expect(reads).toContain(attachment);
    expect(touched.closed()?.code).toBe('file-changed');
    touched.close();
  });

  it('knows which records are owed without reading any, until a record disappears', () => {
    const warm = (): readonly string[] => {
      const workshop = open('write');
      const signers = keyring(workshop.place, workshop.state, () => undefined)({});
      const data = { temperature: '19 °C', place: 'attic' };
      const done = workshop.submit({ verb: 'temperature', job: '', by: 'first', data }, signers);
      if (!done.ok) throw new Error(done.fault.what);
      workshop.close();
      return workshop.notices().map(({ code }) => code);
    };
    const hasReadRecords = (): boolean => reads.some((path) => path.endsWith('record.json'));
    warm();
    expect(hasReadRecords()).toBe(true);
    expect(warm()).not.toContain('record-written');
    expect(hasReadRecords()).toBe(false);
    for (const job of readdirSync(join(own.state, 'records')))
      rmSync(join(own.state, 'records', job), { recursive: true });
    expect(warm()).toContain('record-written');
    expect(warm()).not.toContain('record-written');
    expect(hasReadRecords()).toBe(false);
  });

  it('is not possible with another program, or with one that was not built', () => {
    const first = session('read');
    const other = open('read', 'another program');
    expect(hasReadJournal()).toBe(true);
    expect(whole(other.state())).toEqual(first);
  });
});

describe('whatever was entered and touched', () => {
  it('opens as it would without a cache', () => {
    const next = chance(14);
    const below = (count: number): number => Math.floor(next() * count);
    const texts = (): unknown => {
      const workshop = open('read');
      const state = whole(workshop.state());
      const closed = workshop.closed()?.code;
      workshop.close();
      return { state, closed };
    };
    const touches: readonly (() => void)[] = [
      () => {},
      () => appendFileSync(journal, ''),
      () => utimesSync(journal, new Date(), new Date()),
      () => copyFileSync(journal, `${journal}.copy`),
      () => renameSync(`${journal}.copy`, journal),
      () => rmSync(join(own.folder, 'cache', 'seen'), { recursive: true, force: true }),
      () => rmSync(join(own.folder, 'cache', 'snapshot'), { recursive: true, force: true }),
      () => {
        for (const name of readdirSync(join(own.folder, 'cache', 'snapshot')))
          appendFileSync(join(own.folder, 'cache', 'snapshot', name), 'not ours');
      },
    ];
    session('read');
    for (let round = 0; round < 12; round += 1) {
      const workshop = open('write');
      for (let count = below(20); count >= 0; count -= 1) remark(workshop, `round ${round}, ${count}`);
      workshop.close();
      const touch = touches[below(touches.length)];
      try {
        touch?.();
      } catch (error) {
        expect((error as NodeJS.ErrnoException).code).toBe('ENOENT');
      }
      const kept = texts();
      const again = texts();
      const anew = open('read', 'yet another program');
      expect(kept).toEqual({ state: whole(anew.state()), closed: anew.closed()?.code });
      expect(again).toEqual(kept);
    }
  }, 120_000);
});

describe('anything touched since', () => {
  const flip = (path: string): void => {
    const bytes = readFileSync(path);
    const middle = bytes.length >> 1;
    bytes[middle] = (bytes[middle] ?? 0) ^ 1;
    writeFileSync(path, bytes);
  };

  it('is read again: one bit of the journal, its time put back', () => {
    session('read');
    const { atime, mtime } = statSync(journal);
    flip(journal);
    utimesSync(journal, atime, mtime);
    const workshop = open('write');
    expect(workshop.closed()?.kind).toBe('wrong');
    workshop.close();
  });

  it('is read again: one bit of a text that a job follows', () => {
    session('read');
    const [name = ''] = readdirSync(join(own.state, 'procedures'));
    flip(join(own.state, 'procedures', name));
    expect(open('write').closed()?.where).toContain(name);
  });

  it('is read again: a line of another writer, a torn line, a new or missing file', () => {
    session('write', 'two writers now');
    const torn = readFileSync(journal).subarray(0, 40);
    appendFileSync(journal, torn);
    const mended = open('write');
    expect(mended.notices().map(({ code }) => code)).toContain('torn-tail');
    mended.close();
    session('write', 'and on');
    rmSync(journal);
    expect(open('read').closed()?.code).toBe('build-unfounded');
  });

  it('is read again, where it was touched within the session too', () => {
    session('read');
    const workshop = open('write');
    flip(journal);
    remark(workshop, 'in a file of its own');
    workshop.close();
    expect(open('read').closed()?.kind).toBe('wrong');
  });
});

describe("another writer's torn line", () => {
  const tornAt = (workshop: Workshop): readonly (string | undefined)[] =>
    workshop.notices().flatMap(({ code, where }) => (code === 'torn-tail' ? [where] : []));
  const openedWith = (mode: 'read' | 'write', text?: string) => {
    const workshop = open(mode);
    const read = journalBytes;
    if (text !== undefined) remark(workshop, text);
    const found = { torn: tornAt(workshop), read, state: whole(workshop.state()) };
    workshop.close();
    return found;
  };
  /** The line that arrives in two parts. */
  let line = '';
  let head = '';
  beforeEach(() => {
    session('write', 'this machine has a file of its own now');
    const text = readFileSync(journal, 'utf8');
    const start = text.lastIndexOf('\n', text.length - 2) + 1;
    [head, line] = [text.slice(0, start), text.slice(start)];
    // nobody here has seen its last line, so what is left of it is a line that is on its way
    rmSync(join(own.folder, 'cache'), { recursive: true });
    for (const name of readdirSync(join(own.state, 'journal')))
      if (!journal.endsWith(name)) rmSync(join(own.state, 'journal', name));
    writeFileSync(journal, head + line.slice(0, 60));
  });

  it('is passed over and reported each time, and the journal is read once', () => {
    const where = `journal/${journal.slice(-14)}:${head.split('\n').length}`;
    const first = openedWith('read');
    expect(first).toMatchObject({ torn: [where] });
    expect(first.read).toBeGreaterThan(head.length);
    expect(openedWith('read')).toEqual({ ...first, read: 60 });
    expect(openedWith('write', 'beside it')).toMatchObject({ torn: [where] });
    const second = openedWith('write', 'beside it again');
    expect(second).toMatchObject({ torn: [where] });
    const third = openedWith('write', 'and again');
    // its own lines behind the snapshot are read, and the torn piece
    expect([third.torn, third.read < head.length / 4]).toEqual([[where], true]);
    const last = openedWith('read');
    rmSync(join(own.folder, 'cache'), { recursive: true });
    expect({ ...openedWith('read'), read: 0 }).toEqual({ ...last, read: 0 });
    expect(readFileSync(journal, 'utf8')).toBe(head + line.slice(0, 60));
  });

  it.each<readonly [string, () => string, boolean]>([
    ['the rest of it', () => head + line, true],
    ['more of it', () => head + line.slice(0, 61), false],
    ['less of it', () => head + line.slice(0, 59), false],
    ['none of it', () => head, true],
    ['another piece of the same length', () => head + line.slice(0, 59) + 'x', false],
  ])('is read again once the file has %s', (_what, text, isWhole) => {
    openedWith('read');
    openedWith('write', 'beside it');
    writeFileSync(journal, text());
    const now = openedWith('read');
    expect(now.read).toBeGreaterThan(head.length);
    expect(now.torn).toHaveLength(isWhole ? 0 : 1);
    rmSync(join(own.folder, 'cache'), { recursive: true });
    expect(openedWith('read').state).toEqual(now.state);
  });

  it("is set aside before anything is written where it is this machine's own", () => {
    writeFileSync(journal, head + line);
    session('write', 'a file of its own');
    const [name = ''] = readdirSync(join(own.state, 'journal')).filter((one) => !journal.endsWith(one));
    const mine = join(own.state, 'journal', name);
    // as a session leaves it that was killed in the middle of a line
    const [memory = ''] = readdirSync(join(own.folder, 'config/writers'));
    const remembered = join(own.folder, 'config/writers', memory);
    writeFileSync(remembered, readFileSync(remembered, 'utf8').replace('"writing":false', '"writing":true'));
    appendFileSync(mine, readFileSync(mine).subarray(0, 40));
    openedWith('read'); // keeps what it found, with the torn piece
    expect(openedWith('read')).toMatchObject({ torn: [expect.stringContaining(name)], read: 40 });
    const mended = openedWith('write', 'after it');
    const texts = readFileSync(mine, 'utf8').trimEnd().split('\n');
    expect(texts.map((text) => (JSON.parse(text) as { readonly seq: number }).seq)).toEqual([1, 2]);
    expect(mended.torn).toHaveLength(1);
    expect(openedWith('read').torn).toEqual([]);
  });
});

describe('damage in the cache folder', () => {
  const damages: readonly (readonly [string, (text: Buffer) => Buffer | string])[] = [
    ['cut short', (text) => text.subarray(0, text.length >> 1)],
    ['emptied', () => ''],
    ['no JSON', () => 'nothing of ours'],
    ['another thing', () => '{"program":"this program","files":[],"heads":[],"last":"x","snapshot":""}'],
    [
      'with one bit flipped',
      (text) => text.fill((text[text.length >> 1] ?? 0) ^ 1, text.length >> 1, (text.length >> 1) + 1),
    ],
  ];
  it.each(damages)('costs time but never prevents an opening: %s', (_what, damage) => {
    const first = session('read');
    for (const kind of ['seen', 'snapshot']) {
      const [name = ''] = readdirSync(join(own.folder, 'cache', kind));
      const path = join(own.folder, 'cache', kind, name);
      writeFileSync(path, damage(readFileSync(path)));
      expect(session('read')).toEqual(first);
      expect(hasReadJournal()).toBe(true);
      // and what the opening has written in its place is good again
      expect(session('read')).toEqual(first);
      expect(hasReadJournal()).toBe(false);
    }
  });
});
