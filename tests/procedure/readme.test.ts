import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { readProcedure } from '../../src/procedure/load.ts';
import { printMessage } from '../../src/procedure/message.ts';

test('the draft in the README has the messages that the README prints, and none once it is mended as described', () => {
  const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
  const draft = /```yaml\n(procedure: strut-bracket\n.*?)```/s.exec(readme)?.[1] ?? '';
  const { messages } = readProcedure(draft, 'procedures/strut-bracket.yaml');
  expect(messages).toHaveLength(5);
  expect(readme).toContain(`\`\`\`\n${messages.map(printMessage).join('\n')}\n\`\`\``);
  const close = /  - step: close\n.*\n.*\n/.exec(draft)?.[0] ?? '';
  const mended = `${draft.replace(close, '')}${close}`
    .replace('at most 0.2,', 'at most 0.2 mm,')
    .replace('title: Fit the bracket dry', 'title: Fit the bracket dry\n    proves: [strut-line]')
    .replace('title: Mix the adhesive', 'title: Mix the adhesive\n    people: 2')
    .replace('lookfor', 'look-for');
  expect(readProcedure(mended, 'strut-bracket.yaml').messages).toEqual([]);
});
