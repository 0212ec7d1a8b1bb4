import { procedureJsonSchema } from '../procedure/json-schema.ts';
import { failed, wordsGiven } from './fail.ts';
import type { CommandSpec } from './spec.ts';

export const schemaCommand: CommandSpec = {
  name: 'schema',
  about: 'the JSON Schema of procedure files, for editors',
  usage: ['dryfit schema'],
  options: {},
  more: [
    'It tells an editor the keys and what they hold; `dryfit check` tells the rest. A procedure names it in a comment on its first line:',
    '# yaml-language-server: $schema=schema/procedure.schema.json',
    'The text is JSON with and without --json.',
  ],
  run: (call) => {
    const extra = wordsGiven(call, 'schema', 'write: dryfit schema > FILE');
    if (extra) return failed(call, extra);
    call.print.json(procedureJsonSchema());
    return 0;
  },
};
