import { mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { machine, type Machine } from '../support/command.ts';

const head = (id: string, more = ''): string => `procedure: ${id}\ntitle: ${id}\nrevision: A\n${more}steps:\n`;
const close = `${head('close')}  - { step: dry, title: Lay it on dry, proves: [skin-line] }
  - { step: rivet, title: Rivet the panel on, permanent: true, sets: [skin-line], covers: [bay-3], gate: hull-close }
`;
const cable = `${head('cable', 'after: [close]\n')}  - { step: pull, title: Pull the cable, reaches: [bay-3] }\n`;
const rig = `${head('rig')}  - { step: trim, title: Trim the door, relies-on: [skin-line] }\n`;

const shop = (): Machine => {
  const own = machine();
  mkdirSync(join(own.folder, 'procedures'));
  for (const [name, text] of Object.entries({ close, cable, rig })) own.file(`procedures/${name}.yaml`, text);
  return own;
};

it('lists, across the folder, what a step fixes and covers, and who still needs it', async () => {
  const ran = await shop().run(['ahead', 'close', 'rivet']);
  expect(ran).toMatchObject({ code: 0, err: '' });
  expect(ran.out).toBe(`close, rivet: Rivet the panel on (PERMANENT)
  makes fast    skin-line
    proved by   Lay it on dry (dry)
    needed by   Trim the door (trim) of rig, in no fixed order with it
  covers        bay-3
    to reach it Pull the cable (pull) of cable, which comes after
  gate          hull-close
`);
});

it('prints the same as data', async () => {
  const ran = await shop().run(['ahead', 'close', 'rivet', '--json']);
  expect(ran.json()).toEqual({
    procedure: 'close',
    steps: [
      {
        step: 'rivet',
        title: 'Rivet the panel on',
        permanent: true,
        people: 1,
        gate: 'hull-close',
        features: [
          {
            feature: 'skin-line',
            provedBy: [{ procedure: 'close', step: 'dry', title: 'Lay it on dry', when: 'before' }],
            reliedOnBy: [{ procedure: 'rig', step: 'trim', title: 'Trim the door', when: 'open' }],
          },
        ],
        covers: [
          {
            area: 'bay-3',
            reachedBy: [{ procedure: 'cable', step: 'pull', title: 'Pull the cable', when: 'after' }],
          },
        ],
        reaches: [],
      },
    ],
    passedOver: [],
  });
});

it('names procedures that cannot be read, and goes on without them', async () => {
  const own = shop();
  own.file('procedures/broken.yaml', 'a: [b\n');
  own.file('procedures/large.yaml', Buffer.alloc(9 * 1024 * 1024, 'a'));
  own.file('procedures/.#close.yaml', 'left by an editor');
  symlinkSync('loop.yaml', join(own.folder, 'procedures/loop.yaml'));
  const ran = await own.run(['ahead', 'close', 'rivet']);
  expect(ran.code).toBe(0);
  expect(ran.out).toContain('Pull the cable');
  expect(ran.err.trim().split('\n')).toEqual([
    expect.stringMatching(/^note: passed over: .*broken\.yaml:2:1: error not-yaml/),
    expect.stringMatching(/^note: passed over: .*large\.yaml:1:1: error too-large/),
    expect.stringMatching(/^note: passed over: .*loop\.yaml:1:1: error unreadable/),
  ]);
});

it('reports on a procedure that check finds fault with', async () => {
  const own = shop();
  own.file(
    'procedures/close.yaml',
    close.replace('proves: [skin-line]', 'do: Look.') + '  - { step: wire, title: Wire, reaches: [bay-3] }\n',
  );
  const ran = await own.run(['ahead', 'close', 'rivet']);
  expect(ran.out).toContain('nothing before it');
  expect(ran.out).toContain('Wire (wire)\n');
});

it.each([
  [[], 2, 'word-missing'],
  [['close'], 2, 'word-missing'],
  [['close', 'rivet', 'dry'], 2, 'word-extra'],
  [['closs', 'rivet'], 2, 'did you mean close?'],
  [['close', 'rivit'], 2, "did you mean 'rivet'?"],
  [['close', 'rivet', '--each', 'left'], 2, 'side-unknown'],
  [['close', 'rivet', '--procedures', 'nowhere'], 2, 'procedures-missing'],
])('is called wrongly: %j', async (words, code, said) => {
  const ran = await shop().run(['ahead', ...words]);
  expect(ran).toMatchObject({ code, out: '' });
  expect(ran.err).toContain(said);
});
