import { join } from 'node:path';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { machine, projectFolder, type Machine, type Ran } from '../support/command.ts';

const procedures = join(projectFolder, 'tests/e2e/procedures');
const now = '2026-03-02T09:00:00+01:00';

const acting =
  (own: Machine) =>
  (...words: readonly string[]): Promise<Ran> =>
    own.run(['--state', own.state, '--procedures', procedures, ...words], { now });

const mix = ['do', 'block-bond', 'mix', 'mix', 'weights.resin=100 g', 'weights.hardener=44 g', 'sample=S-1'] as const;

const toMix = async (act: ReturnType<typeof acting>): Promise<void> => {
  expect((await act('person', 'add', 'ines')).code).toBe(0);
  expect((await act('start', 'block-bond')).code).toBe(0);
  expect((await act('do', 'block-bond', 'read', 'gap', 'value=0.1 mm')).code).toBe(0);
  expect((await act('do', 'block-bond', 'finish', 'dry-fit')).code).toBe(0);
};

describe('a lot, from its intake to the cup', () => {
  it('that is out of date is set aside at once, each refusal says what to do, and it is used once extended on evidence', async () => {
    const own = machine();
    const act = acting(own);
    await toMix(act);
    expect((await act('stock', 'add', 'adhesive', 'L-204', 'use-by=2026-02-28', 'where=cold shelf')).code).toBe(0);
    const named = await act('do', 'block-bond', 'lot', 'adhesive', 'number=L-204');
    expect(named.code).toBe(0);
    expect(named.out).toContain('in quarantine');
    const aside = await act(...mix);
    expect(aside.code).toBe(3);
    expect(aside.err).toContain('refused lot-expired: lot L-204 of adhesive is in quarantine');
    expect(aside.err).toContain('dryfit stock restore adhesive L-204');
    expect((await act('stock', 'restore', 'adhesive', 'L-204', 'because=looked at')).code).toBe(0);
    const past = await act(...mix);
    expect(past.code).toBe(3);
    expect(past.err).toContain('refused lot-expired: lot L-204 of adhesive was good until 2026-02-28');
    expect(past.err).toContain('dryfit stock extend adhesive L-204');
    const letter = own.file('letter.txt', 'good until September');
    const extend = ['stock', 'extend', 'adhesive', 'L-204', 'to=2026-09-30', "because=the maker's letter"] as const;
    expect((await act(...extend)).err).toContain('evidence is missing');
    expect((await act(...extend, `evidence=${letter}`)).code).toBe(0);
    expect((await act(...mix)).code).toBe(0);
    const { stock } = (await act('stock', '--json')).json() as { stock: Record<string, unknown>[] };
    expect(stock).toMatchObject([
      {
        material: 'adhesive',
        number: 'L-204',
        'good-until': '2026-09-30',
        standing: 'good',
        batches: ['B-1'],
        extended: [{ to: '2026-09-30', by: 'ines', on: '2026-03-02' }],
      },
    ]);
    const [kept = ''] = readdirSync(join(own.state, 'attachments'));
    expect(readFileSync(join(own.state, 'attachments', kept), 'utf8')).toBe('good until September');
    expect((await act('verify')).code).toBe(0);
    writeFileSync(join(own.state, 'attachments', kept), 'good until Christmas');
    expect((await act('verify')).code).toBe(1);
  });

  it('does not last longer by a use-by typed at the bench', async () => {
    const own = machine();
    const act = acting(own);
    await toMix(act);
    expect((await act('stock', 'add', 'adhesive', 'L-1', 'use-by=2026-03-02')).code).toBe(0);
    expect((await act('stock', 'open', 'adhesive', 'L-1', 'on=2026-01-31', 'once-opened=1 month')).code).toBe(0);
    const typed = await act('do', 'block-bond', 'lot', 'adhesive', 'number=L-1', 'use-by=2030-01-01');
    expect(typed.code).toBe(2);
    expect(typed.err).toContain('the stock has adhesive L-1 good until 2026-03-02, not 2030-01-01');
    expect(typed.err).toContain('dryfit stock extend adhesive L-1 to=2030-01-01');
    expect((await act('do', 'block-bond', 'lot', 'adhesive', 'number=L-1')).code).toBe(0);
    const refused = await act(...mix);
    expect(refused.code).toBe(3);
    expect(refused.err).toContain('was good until 2026-02-28');
    const status = await act('status');
    expect(status.out).toContain('2026-02-28 adhesive L-1, past');
  });

  it('is not changed by a command called wrongly', async () => {
    const own = machine();
    const act = acting(own);
    expect((await act('person', 'add', 'ines')).code).toBe(0);
    expect((await act('stock', 'add', 'adhesive', 'L-1', 'use-by=2030-01-01')).code).toBe(0);
    const before = own.read('state/build.yaml');
    for (const words of [
      ['add', 'adhesive', 'L-1'],
      ['add', 'adhesive', 'number=L-2', 'use-by=soon'],
      ['add', 'adhesive', 'number=L-2', 'usby=2030-01-01'],
      ['quarantine', 'adhesive', 'L-1'],
      ['quarantine', 'adhesive', 'L-9', 'because=x'],
      ['extend', 'adhesive', 'L-1', 'to=2031-01-01', 'because=x', 'evidence=no-such-file'],
      ['ad', 'adhesive'],
      ['add'],
    ]) {
      const ran = await act('stock', ...words);
      expect(ran.code, words.join(' ')).toBe(2);
      expect(ran.err, words.join(' ')).toMatch(/^[^\n]+\n$/);
    }
    expect(own.read('state/build.yaml')).toBe(before);
  });
});
