import { expect, it } from 'vitest';
import { procedureJsonSchema } from '../../src/procedure/json-schema.ts';
import { machine } from '../support/command.ts';

it('schema prints the JSON Schema of procedure files, with and without --json', async () => {
  const own = machine();
  const ran = await own.run(['schema']);
  expect(ran).toMatchObject({ code: 0, err: '' });
  expect(ran.json()).toEqual(procedureJsonSchema());
  expect((await own.run(['schema', '--json'])).out).toBe(ran.out);
});

it('schema takes no words', async () => {
  const own = machine();
  expect(await own.run(['schema', 'some.yaml'])).toMatchObject({ code: 2, out: '' });
  expect((await own.run(['schema', '--help'])).out).toMatch(/^dryfit schema\n/);
});
