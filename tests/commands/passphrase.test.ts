import { describe, expect, it } from 'vitest';
import { machine } from '../support/command.ts';

describe('the passphrase of a key', () => {
  it('is not read for ever from something that has no end of a line', async () => {
    const own = machine();
    await own.run(['person', 'add', 'ines', '--state', own.state]);
    const run = (stdin: string) => own.run(['key', 'passphrase', '--state', own.state], { stdin });
    expect(await run('\0'.repeat(100_000))).toMatchObject({ code: 2, err: expect.stringContaining('passphrase-long') });
    expect(await run('a'.repeat(5000))).toMatchObject({ code: 2, err: expect.stringContaining('passphrase-long') });
    expect((await run(`${'a'.repeat(4096)}\n`)).code).toBe(0);
  });

  it("is changed in the key's file: the old one no longer unlocks it, and the key stays the same", async () => {
    const own = machine();
    const run = (stdin: string, ...argv: readonly string[]) => own.run([...argv, '--state', own.state], { stdin });
    expect((await run('one\n', 'person', 'add', 'ines', '--passphrase')).code).toBe(0);
    const before = (await run('', 'key', '--json')).out;
    expect(await run('wrong\ntwo\n', 'key', 'passphrase')).toMatchObject({ code: 2 });
    expect(await run('one\ntwo\n', 'key', 'passphrase')).toMatchObject({ code: 0, err: '' });
    expect((await run('', 'key', '--json')).out).toBe(before);
    expect((await run('one\n', 'do', '-', 'temperature', '19 °C')).code).toBe(2);
    expect((await run('two\n', 'do', '-', 'temperature', '19 °C')).code).toBe(0);
    expect((await run('', 'verify')).out).toContain('not proved: whose hand held a key');
  });
});
