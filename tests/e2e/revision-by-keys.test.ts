import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { builtProgram, root } from '../support/built.ts';
import { openScreen, type Screen } from '../support/screen.ts';

const scripts = join(root, 'tests/scripts/revision');
const pages = join(scripts, 'pages');
const { folder, dryfit, program, env } = builtProgram('revision-keys');
const open: Screen[] = [];

/** A second enter within 0.4 s is taken for a bounce of the key. */
const noBounce = (): Promise<void> => setTimeout(450);

afterEach(async () => {
  for (const screen of open.splice(0)) await screen.close();
});

describe.each([
  ['bench view', 48, 13],
  ['desk view', 80, 24],
] as const)('a new page decided about by keys, %s', (name, cols, rows) => {
  const state = join(folder, name.replace(' ', '-'));

  beforeAll(() => {
    expect(dryfit('rehearse', join(scripts, 'before.yaml'), '--state', state)).toMatchObject({ status: 0, stderr: '' });
  });

  it('complied with on the finished side, opens the step whose value is now outside', async () => {
    const bench = openScreen({
      command: process.execPath,
      args: [
        program,
        '--state',
        state,
        '--procedures',
        pages,
        '--as',
        'ines',
        '--now',
        '2026-06-08T09:00:00+02:00',
        'aileron-travel-left',
      ],
      cols,
      rows,
      env,
    });
    open.push(bench);
    await bench.see('This job is complete');
    bench.send(' ');
    await bench.see('Everything else');
    bench.send('5');
    await bench.see('decide about a change');
    bench.send('5');
    await bench.see(/1 down limits +14 ± 1 °, now 15 ± 1 °/);
    bench.send('1');
    await bench.see('>1 down limits');
    bench.send('\r');
    await bench.see('What is decided');
    bench.send('1');
    await bench.see('>1 comply');
    await noBounce();
    bench.send('\r');
    await bench.see('Why; wanted unless it is comply');
    await noBounce();
    bench.send('\r');
    await bench.see('decided: down limits');
    bench.send(' ');
    await bench.see('Everything else');
    bench.send('5');
    await bench.see('follow revision B');
    await noBounce();
    bench.send('6');
    await bench.see('down is 13.6, outside 15'); // and ± 1 ° on the next row
    await bench.close();
    expect(dryfit('status', '--state', state).stdout).toMatch(
      /aileron-travel-left-\S+ .*\n +opened again, 5 of 12, down open/,
    );
    expect(dryfit('verify', state)).toMatchObject({ status: 0, stderr: '' });
  });
});
