import { describe, expect, it } from 'vitest';
import { commands } from '../../src/commands/names.ts';
import { machine } from '../support/command.ts';

describe('--help', () => {
  const own = machine();

  it.each(commands.map(({ name }) => name))('of %s says how it is called, one way a line', async (name) => {
    const ran = await own.run([name, '--help']);
    expect(ran).toMatchObject({ code: 0, err: '' });
    const [first = ''] = ran.out.split('\n');
    expect(first).toMatch(new RegExp(`^dryfit ${name}`));
    expect(ran.out).not.toContain('\\n');
  });
});
