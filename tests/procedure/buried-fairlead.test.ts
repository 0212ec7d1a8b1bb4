import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { checkFolder } from '../../src/procedure/folder.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import type { Message } from '../../src/procedure/message.ts';

type Text = readonly [name: string, text: string];

const filesOf = (folder: URL): readonly Text[] =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => [name, readFileSync(new URL(name, folder), 'utf8')] as const);

/** The messages of `check` about a folder: of each file, then of all together. */
const told = (files: readonly Text[]): readonly Message[] => {
  const read = files.map(([name, text]) => ({ name, ...readProcedure(text, name) }));
  const members = read.flatMap(({ name, procedure, tree }) =>
    procedure === undefined || tree === undefined ? [] : [{ file: name, procedure, tree }],
  );
  return [...read.flatMap(({ messages }) => messages), ...checkFolder(members)];
};

const lineOf = (text: string, start: string): number =>
  text.split('\n').findIndex((line) => line.trim().startsWith(start)) + 1;

const swapped = ([name, text]: Text): Text =>
  name === 'elevator-cable.yaml'
    ? [name, text.replace('after: [keel-scarf-bond]', 'after: [keel-scarf-bond, close-hull-bottom]')]
    : [name, name === 'close-hull-bottom.yaml' ? text.replace('  - elevator-cable\n', '') : text];

test('closing the hull over a fairlead that the next page moves is reported once, where it is covered', () => {
  const files = filesOf(new URL('buried-fairlead/', import.meta.url));
  const [, closing] = files.find(([name]) => name === 'close-hull-bottom.yaml')!;
  expect(told(files)).toEqual([
    {
      file: 'close-hull-bottom.yaml',
      line: lineOf(closing, 'covers:'),
      column: 26,
      level: 'error',
      code: 'covered-early',
      what: 'fairlead-3 is covered here, and elevator-cable, which comes after, must still reach it',
      todo: 'let close-hull-bottom come after elevator-cable, or uncovers: it there before',
    },
  ]);
});

test('the demo’s procedures have no message in their order, and exactly this one with the two exchanged', () => {
  const shipped = filesOf(new URL('../../procedures/', import.meta.url));
  expect(told(shipped)).toEqual([]);
  const broken = shipped.map(swapped);
  const [, closing] = broken.find(([name]) => name === 'close-hull-bottom.yaml')!;
  const messages = told(broken);
  expect(messages.map(({ file, line, code }) => [file, line, code])).toEqual(
    Array.from({ length: 3 }, () => ['close-hull-bottom.yaml', lineOf(closing, 'covers:'), 'covered-early']),
  );
  expect(messages.map(({ what }) => what.split(' ')[0])).toEqual(['fairlead-1', 'fairlead-2', 'fairlead-3']);
});
