import { cpSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { machine, type Machine } from '../support/command.ts';

/** A build with a few entries of its one machine. */
const scene = async (): Promise<{ own: Machine; path: string; whole: string }> => {
  const own = machine();
  for (const argv of [
    ['person', 'add', 'ines', '--gates', 'first-flight'],
    ['do', '-', 'temperature', '19 °C'],
    ['do', '-', 'temperature', '20 °C'],
    ['do', '-', 'temperature', '21 °C'],
  ])
    expect(await own.run(argv)).toMatchObject({ code: 0 });
  const path = join(own.state, 'journal', readdirSync(join(own.state, 'journal'))[0] ?? '');
  return { own, path, whole: readFileSync(path, 'utf8') };
};
const cut = (text: string, lines: number): string =>
  text
    .split('\n')
    .slice(0, -1 - lines)
    .join('\n') + '\n';

describe('the end of a machine’s own journal', () => {
  it('cut off is found on that machine, and nowhere else', async () => {
    const { own, path, whole } = await scene();
    expect(await own.run(['verify'])).toMatchObject({ code: 0 });
    expect((await own.run(['verify'])).out).toContain('entries that this machine remembers having written');
    writeFileSync(path, cut(whole, 2));
    const found = await own.run(['verify']);
    expect(found.code).toBe(1);
    expect(found.err).toContain('2 entries that were taken here are missing');
    const other = machine();
    cpSync(own.state, other.state, { recursive: true });
    expect(await other.run(['verify'])).toMatchObject({ code: 0, err: '' });
    writeFileSync(path, whole);
    expect(await own.run(['verify'])).toMatchObject({ code: 0 });
  });

  it('is said in the journal with the next entry, so that every later verify lists it, until the file is brought back', async () => {
    const { own, path, whole } = await scene();
    writeFileSync(path, cut(whole, 2));
    const said = await own.run(['do', '-', 'temperature', '22 °C']);
    expect(said).toMatchObject({ code: 0 });
    expect(said.err).toContain('are missing');
    const other = machine();
    cpSync(own.state, other.state, { recursive: true });
    for (const one of [own, other]) {
      const listed = await one.run(['verify']);
      expect(listed.out).toMatch(
        /open: journal\/\w+\.jsonl:1: its machine had written journal\/\w+\.jsonl up to entry \d+/,
      );
      expect(listed.out).toContain('open: 2 entries missing');
      expect(listed.out).not.toContain('nothing is wrong');
      expect(listed).toMatchObject({ code: 0 });
    }
    cpSync(own.state, join(own.folder, 'kept'), { recursive: true });
    writeFileSync(path, whole);
    const back = await own.run(['verify']);
    expect(back).toMatchObject({ code: 0 });
    expect(back.out).not.toContain('missing');
  });

  it('is not forgotten where the machine dies before that entry is written', async () => {
    const { own, path, whole } = await scene();
    writeFileSync(path, cut(whole, 1));
    const folder = join(own.folder, 'home/.config/dryfit/writers');
    const [name = ''] = readdirSync(folder);
    const memory = JSON.parse(readFileSync(join(folder, name), 'utf8').split('\n')[0] ?? '') as Record<string, unknown>;
    const doubted = `${String(memory['writer'])}:${String(memory['seq'])} ${String(memory['hash'])}`;
    // as a session leaves it that was killed between its memory and its first line
    writeFileSync(
      join(folder, name),
      `{"doubted":"${doubted}","hash":"","seq":0,"writer":"abcdefgh","writing":true}\n`,
    );
    expect(await own.run(['do', '-', 'temperature', '22 °C'])).toMatchObject({ code: 0 });
    expect((await own.run(['verify'])).out).toContain('open: 1 entry missing');
  });

  it('rewritten there is found, and verify lists what no second person covers', async () => {
    const { own, path, whole } = await scene();
    const listed = await own.run(['verify']);
    expect(listed.out).toMatch(
      /note: journal\/\w+\.jsonl: entries 1 to \d+: covered by nobody but ines, whose key can rewrite them/,
    );
    expect((await own.run(['verify', '--json'])).json()).toMatchObject({
      coverage: [{ people: [{ person: 'ines' }], alone: { from: 1, person: 'ines' } }],
    });
    writeFileSync(path, whole.replace('"21 °C"', '"20 °C"'));
    expect(await own.run(['verify'])).toMatchObject({ code: 1 });
  });
});
