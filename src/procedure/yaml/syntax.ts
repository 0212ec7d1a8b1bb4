import type { Message } from '../message.ts';
import type { SyntaxFault } from './compose.ts';
import { lineOf, messageFor, type Source } from './source.ts';

type Code = SyntaxFault['code'];

interface Words {
  readonly what: string;
  readonly todo: string;
}

const misplaced: Words = {
  what: 'something stands here that does not belong',
  todo: 'check the line and the one above it; put text that holds signs of YAML in quotes',
};

const quotes: Words = { what: 'a quote is opened here and never closed', todo: 'close it' };

const byCode: Partial<Record<Code, Words>> = {
  BAD_DQ_ESCAPE: { what: 'this backslash spells nothing', todo: 'use single quotes, or write \\\\ for a backslash' },
  BAD_INDENT: {
    what: 'this is indented differently from what it belongs with',
    todo: 'line it up with its neighbours, with spaces',
  },
  BAD_SCALAR_START: { what: 'text cannot begin with this sign', todo: 'put the text in quotes' },
  BLOCK_AS_IMPLICIT_KEY: {
    what: 'a second key begins on this line',
    todo: 'put text that holds a colon and a space in quotes, or begin a new line',
  },
  BLOCK_IN_FLOW: {
    what: 'a { or [ is still open here',
    todo: 'close it, or write its contents on one line',
  },
  KEY_OVER_1024_CHARS: { what: 'this key is too long', todo: 'shorten it' },
  MULTILINE_IMPLICIT_KEY: {
    what: 'a key goes over several lines',
    todo: 'write it on one line, and close what is open above it',
  },
};

/** The yaml package gives several faults the same code; its wording distinguishes them. */
const byWording: readonly (readonly [RegExp, Words])[] = [
  [/^Missing closing/, quotes],
  [/must end with/, { what: 'a { or [ is not closed before here', todo: 'close it' }],
  [
    /^Implicit map keys need/,
    {
      what: 'this line is neither a key with its value nor an item of a list',
      todo: 'write "key: value", or indent it to belong to the text above',
    },
  ],
  [/^Sequence item without/, { what: 'an item of this list lacks its dash', todo: 'begin it with "- "' }],
  [/^Missing , /, { what: 'a comma is missing before here', todo: 'put a comma between the items' }],
  [/^Missing space after :/, { what: 'a space is missing after the colon', todo: 'write "key: value"' }],
  [/^Comments must be separated/, { what: 'a comment begins right after text', todo: 'put a space before the #' }],
  [/at node end/, { what: 'something follows what was already complete', todo: 'put the whole text in quotes' }],
  [/^Unexpected , in/, { what: 'there is a comma too many', todo: 'take it out' }],
  [/on same line with key/, { what: 'a list begins on the line of its key', todo: 'begin it on a new line' }],
];

const wordsFor = ({ code, message }: SyntaxFault): Words =>
  byWording.find(([wording]) => wording.test(message))?.[1] ?? byCode[code] ?? misplaced;

/** The next line that holds anything: the offset of its first character that is not a space. */
const nextLine = (text: string, offset: number): number => {
  const lineEnd = text.indexOf('\n', offset);
  const filled = /\S/g;
  filled.lastIndex = lineEnd === -1 ? text.length : lineEnd;
  return filled.exec(text)?.index ?? offset;
};

const deeper: Words = {
  what: 'a key is indented below a key that already has its text',
  todo: 'line the two keys up, or put text that holds a colon and a space in quotes',
};

/** For a key that is indented too deep, YAML names the text above; the message names the key's own line, where people look. */
const isDeeper = (source: Source, { code, offset }: SyntaxFault): boolean => {
  const line = source.text.slice(offset, source.lines[lineOf(source, offset) + 1]);
  return code === 'BLOCK_AS_IMPLICIT_KEY' && !/:(?:\s|$)/.test(line);
};

/** The message for an error of the YAML itself. */
export const syntaxMessage = (source: Source, error: SyntaxFault, lastQuote: number): Message => {
  if (isDeeper(source, error))
    return messageFor(source, nextLine(source.text, error.offset), 'not-yaml', deeper.what, deeper.todo);
  const words = wordsFor(error);
  const offset = words === quotes ? lastQuote : error.offset;
  return messageFor(source, offset, 'not-yaml', words.what, words.todo);
};
