import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inCausalOrder } from '../../src/aircraft/order.ts';
import { jobsOf, type BuildState } from '../../src/aircraft/state.ts';
import { realDisk } from '../../src/store/disk.ts';
import { readJournal } from '../../src/store/journal-read.ts';
import { fold } from '../../src/workshop/journal/fold.ts';
import { publicKeyReader } from '../../src/workshop/journal/public-keys.ts';
import { textLibrary } from '../../src/workshop/journal/library.ts';
import { recordIn } from '../../src/workshop/records/record-in.ts';
import { changedStories } from '../../src/workshop/records/records.ts';
import { sameData } from '../../src/proof/canonical.ts';
import { machine, projectFolder } from '../support/command.ts';

/*
 * Only some completed jobs are compared after a temperature or a start, to save time. The test shows that comparing all of them
 * finds the same.
 */

const scripts = ['tests/scripts', 'tests/fixtures/scripts'].flatMap((folder) =>
  readdirSync(join(projectFolder, folder))
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => join(projectFolder, folder, name)),
);

const head = { writer: '', seq: 1, hash: '' };

/** Every completed job whose record an entry has changed, found by comparing all of them. */
const byLooking = (before: BuildState, after: BuildState): readonly string[] => {
  const was = { ...before, lastAt: after.lastAt };
  return jobsOf(after).flatMap((job) => {
    const old = jobsOf(before).find(({ id }) => id === job.id);
    const isChanged =
      job.completed !== undefined &&
      old?.completed !== undefined &&
      !sameData(recordIn(was, old, head), recordIn(after, job, head));
    return isChanged ? [job.id] : [];
  });
};

describe('the records that a temperature or a start changes', () => {
  it('are those that differ, in every script', async () => {
    const found = { temperature: 0, others: 0, looked: 0 };
    for (const script of scripts) {
      const own = machine();
      await own.run(['rehearse', script, '--state', own.state]);
      // further temperatures after everything that the script completed: during its cures, and at another place; anybody the
      // script knows enters them
      for (const by of ['first', 'ines']) {
        const late = ['--as', by, '--now', '2027-06-01T09:00:00+02:00', '--state', own.state];
        await own.run(['do', '-', 'temperature', '3 °C', '--when', '2026-03-02T15:00:00+01:00', ...late]);
        await own.run(['do', '-', 'temperature', '3 °C', 'place=attic', ...late]);
      }
      const read = readJournal(realDisk, own.state);
      if (!read.ok) continue;
      const links = inCausalOrder(read.value.files.map((file) => file.links));
      const states: { readonly state: BuildState; readonly type: string }[] = [];
      fold(links, {
        library: textLibrary(realDisk, own.state),
        read: publicKeyReader(),
        checked: () => true,
        before: (state, link) => void states.push({ state, type: link.line.type }),
      });
      for (const [index, { state, type }] of states.entries()) {
        const after = states[index + 1]?.state;
        if (after === undefined || !['temperature', 'temperatures', 'start'].includes(type)) continue;
        const changed = byLooking(state, after);
        expect(
          changedStories(state, after, type).map(({ id }) => id),
          `${script} ${index}`,
        ).toEqual(changed);
        found.looked += 1;
        if (type === 'temperature') found.temperature += changed.length;
      }
    }
    expect(found.looked).toBeGreaterThan(20);
    expect(found.temperature).toBeGreaterThan(0);
  });
});
