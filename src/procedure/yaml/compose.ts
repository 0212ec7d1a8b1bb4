import { Composer, type Document, Lexer, Parser, type YAMLError } from 'yaml';
import { mostMessages } from '../message.ts';

/**
 * What the yaml package's lexer, parser and composer give. They are run one after the other, so that nesting is bounded and each thing that
 * dryfit forbids has its place.
 */
export interface Composed {
  readonly document: Document.Parsed | undefined;
  readonly errors: readonly YAMLError[];
  /** What YAML allows and dryfit forbids. Offsets here are in UTF-16 code units, from 0. */
  readonly forbidden: readonly Forbidden[];
  /** Offset of the last quote that opens: for one that is never closed, YAML itself names only the end of the file. */
  readonly lastQuote: number;
  /** Offset at which the nesting became too deep. Then, or where too much was forbidden, reading stopped. */
  readonly tooDeep?: number;
}

export const isWhole = ({ tooDeep, forbidden }: Composed): boolean =>
  tooDeep === undefined && forbidden.length <= mostMessages;

export interface Forbidden {
  readonly code: 'directive' | 'tag' | 'anchor' | 'alias' | 'several-documents';
  readonly offset: number;
  readonly text: string;
}

/** Levels of nesting; a procedure needs nine. It is bounded because YAML's composer and the walk over its nodes both recurse. */
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

/** Reads one document. A second one is reported and not read. */
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
