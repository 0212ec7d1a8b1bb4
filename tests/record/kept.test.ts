import { expect, it } from 'vitest';
import { glanceOf } from '../../src/record/glance.ts';
import { inspectedFacts, linesOf } from '../../src/record/inspected.ts';
import { recordText } from '../../src/record/record.ts';
import { recordFrom, wholeJob } from './fixture.ts';

/*
 * One record whole, with every kind of part in it, as it was written when these files were kept. Its keys, their order and the lines that a
 * second person signs are a format on which records and signed answers rest: whatever changes here is read, and said in the change.
 */

const document = recordFrom(wholeJob());
const laidOut = (value: unknown): string => `${JSON.stringify(value, undefined, 1)}\n`;

it('is written as it was kept', async () => {
  await expect(laidOut(JSON.parse(recordText(document)))).toMatchFileSnapshot('kept/record.json');
});

it('has at its head all that did not go to plan', async () => {
  await expect(laidOut(glanceOf(document))).toMatchFileSnapshot('kept/glance.json');
});

it('is inspected at its hold and at its witness point by these lines', async () => {
  for (const hold of ['inspect', 'watch'])
    await expect(`${linesOf(inspectedFacts(document, hold)).join('\n')}\n`).toMatchFileSnapshot(`kept/${hold}.txt`);
});

it('was inspected, when half of it was entered, by the lines of that time', async () => {
  const entries = document.journal.entries.map(({ entry }) => entry);
  const half = new Set(entries.slice(0, Math.floor(entries.length / 2)));
  const lines = linesOf(inspectedFacts(document, 'inspect', (entry) => half.has(entry)));
  await expect(`${lines.join('\n')}\n`).toMatchFileSnapshot('kept/inspect-half.txt');
});
