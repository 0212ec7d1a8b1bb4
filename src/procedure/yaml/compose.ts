import { Composer, type Document, Lexer, Parser, type YAMLError } from 'yaml';
import { mostMessages } from '../message.ts';

/** YAML's own machinery, driven by hand so that what we forbid is seen where it stands and nesting is bounded. */
export interface Composed {
  readonly document: Document.Parsed | undefined;
  readonly errors: readonly YAMLError[];
  /** What YAML has and we do not, with its offset. */
  readonly forbidden: readonly Forbidden[];
  /** Where the last quote was opened: YAML itself names only the end of the file. */
  readonly lastQuote: number;
  /** Where the nesting became too deep. Then, and where too much was forbidden, nothing further was read. */
  readonly tooDeep?: number;
}

export const isWhole = ({ tooDeep, forbidden }: Composed): boolean =>
  tooDeep === undefined && forbidden.length <= mostMessages;

export interface Forbidden {
  readonly code: 'directive' | 'tag' | 'anchor' | 'alias' | 'several-documents';
  readonly offset: number;
  readonly text: string;
}

/** Levels of nesting; a procedure needs nine. Both YAML's composer and our own walk recurse. */
export const deepest = 64;

const scalarFollows = '\u001f';

const signs: Readonly<Record<string, Forbidden['code']>> = {
  '%': 'directive',
  '!': 'tag',
  '&': 'anchor',
  '*': 'alias',
};

interface Watch {
  readonly parser: Parser;
  readonly forbidden: Forbidden[];
  lastQuote: number;
  tooDeep?: number;
}

function* tokens(text: string, watch: Watch) {
  const { parser, forbidden } = watch;
  let isScalar = false;
  for (const lexeme of new Lexer().lex(text)) {
    const sign = isScalar ? '' : (lexeme[0] ?? '');
    if (sign === '"' || sign === "'") watch.lastQuote = parser.offset;
    const code = signs[sign];
    if (code !== undefined) forbidden.push({ code, offset: parser.offset, text: lexeme });
    isScalar = lexeme === scalarFollows;
    yield* parser.next(lexeme);
    if (parser.stack.length > deepest) watch.tooDeep = parser.offset;
    if (watch.tooDeep !== undefined || forbidden.length > mostMessages) return;
  }
  yield* parser.end();
}

const options = { schema: 'failsafe', uniqueKeys: false, prettyErrors: false } as const;

/** Reads one document; a second one is told, not read. */
export const compose = (text: string): Composed => {
  const watch: Watch = { parser: new Parser(), forbidden: [], lastQuote: 0 };
  let document: Document.Parsed | undefined;
  for (const found of new Composer(options).compose(tokens(text, watch), true, text.length)) {
    if (document !== undefined) {
      watch.forbidden.push({ code: 'several-documents', offset: found.range[0], text: '' });
      break;
    }
    document = found;
  }
  const { forbidden, lastQuote, tooDeep } = watch;
  return {
    document,
    errors: document?.errors ?? [],
    forbidden,
    lastQuote,
    ...(tooDeep === undefined ? {} : { tooDeep }),
  };
};
