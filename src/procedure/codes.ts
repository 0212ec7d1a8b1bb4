/** Everything that `check` can say, with a paragraph on each for `check --about CODE`. */
const yamlCodes = {
  'too-large': 'A procedure file may have at most 8 MB. A larger one is refused by its size, before it is read.',
  'not-utf8': 'Procedure files are UTF-8 text. UTF-16 or another encoding is refused rather than guessed.',
  'byte-order-mark': 'The file begins with an invisible mark that some editors write. Save it as UTF-8 without a mark.',
  'control-character':
    'Characters that steer a terminal, reorder text (bidi) or hide it have no place in a procedure, neither typed nor spelled with a backslash in quotes.',
  tab: 'YAML does not allow tabs as indentation, and in text they show differently everywhere. Write spaces.',
  'empty-file': 'The file holds nothing but blank lines and comments.',
  'not-yaml':
    'The file cannot be read as YAML from here on. Only the first such place is told, since what follows may be its consequence. Most often a quote, a bracket or an indentation is off, or text that holds a colon and a space needs quotes.',
  'too-deep': 'Lists and keys may lie 64 levels inside each other; a procedure needs nine.',
  directive: 'A line that begins with % is an instruction to a YAML program. Procedures need none.',
  tag: 'A word that begins with ! tells YAML how to read a value. dryfit reads every value as it is typed. Text that begins with ! goes in quotes.',
  anchor:
    'A word that begins with & names a value for use elsewhere. In a procedure everything stands where it is used. Text that begins with & goes in quotes.',
  alias:
    'A word that begins with * stands for a value from elsewhere. Write the value out. Text that begins with * goes in quotes.',
  'several-documents': 'A file holds one procedure: one YAML document, without a second --- or text behind ... .',
  'duplicate-key':
    'The same key stands twice in one place. YAML programs differ in which one they take, so neither is.',
  'key-unreadable': 'A key is a plain word before a colon.',
  'empty-value': 'A key or an item of a list has no value. Give it one or take it out.',
  'text-cut':
    'In YAML a # after a space begins a comment: `bolt #10-32` is read as `bolt`. Put such text in quotes. A real comment has a space after its #.',
  'text-split':
    'Inside { } a comma ends a value: `{ ask: Gap, largest }` is read as the text `Gap` and a key `largest`. Put such text in quotes.',
  'list-split':
    'Inside [ ] a comma ends an item. An item that begins with and, or, but … looks like the rest of the one before it. Put text that holds a comma in quotes.',
} as const;

const shapeCodes = {
  'unknown-key': 'The key is not one that dryfit knows in this place. The nearest that it knows is named.',
} as const;

export const codes = { ...yamlCodes, ...shapeCodes } as const;

export type MessageCode = keyof typeof codes;

export const isMessageCode = (text: string): text is MessageCode => Object.hasOwn(codes, text);

/** The paragraph that `check --about CODE` prints; undefined for a code that there is not. */
export const aboutCode = (code: string): string | undefined => (isMessageCode(code) ? codes[code] : undefined);
