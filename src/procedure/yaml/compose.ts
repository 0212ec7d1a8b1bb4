import { Composer, type Document, Lexer, Parser, type YAMLError } from 'yaml';
import { mostMessages } from '../message.ts';

/**
 * What the yaml package's lexer, parser and composer give. They are run one after the other, so that nesting and work are bounded and each
 * thing that dryfit forbids has its place.
 */
export interface Composed {
  readonly document: Document.Parsed | undefined;
  /** The first error of the YAML itself that breaks its structure. Later ones may follow from it. */
  readonly error?: SyntaxFault;
  /** What YAML allows and dryfit forbids. Offsets here are in UTF-16 code units, from 0. */
  readonly forbidden: readonly Forbidden[];
  /** Offset of the last quote that opens: for one that is never closed, YAML itself names only the end of the file. */
  readonly lastQuote: number;
  /** Where and why reading stopped before the end. It also stops where too much was forbidden. */
  readonly stopped?: Stop;
  /** How many pieces the package was given. */
  readonly pieces: number;
}

export interface Stop {
  readonly because: 'too-deep' | 'too-many-pieces' | 'too-many-empty-lines';
  readonly offset: number;
}

/** An error as the yaml package words it, and where it is. */
export interface SyntaxFault {
  readonly code: YAMLError['code'];
  readonly message: string;
  readonly offset: number;
}

export const isWhole = ({ stopped, forbidden }: Composed): boolean =>
  stopped === undefined && forbidden.length <= mostMessages;

export interface Forbidden {
  readonly code: 'directive' | 'tag' | 'anchor' | 'alias' | 'several-documents';
  readonly offset: number;
  readonly text: string;
}

/** Levels of nesting; a procedure needs nine. It is bounded because YAML's composer and the walk over its nodes both recurse. */
export const deepest = 64;

/**
 * Pieces of one file: what the lexer cuts a text into (keys, values, signs, spaces, line ends), and every line inside a text of several lines.
 * Time and memory grow with their number, not with the size of the file. A step of a manual with all that belongs to it has about a
 * hundred, a lot in `build.yaml` fifty.
 */
export const mostPieces = 120_000;

/** Empty lines in a row. The package's parser goes through them again at each comment that follows. */
export const mostEmptyLines = 1000;

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
  error?: SyntaxFault;
  stopped?: Stop;
  pieces: number;
}

const linesIn = (lexeme: string): number => {
  let count = 0;
  for (let at = lexeme.indexOf('\n'); at !== -1; at = lexeme.indexOf('\n', at + 1)) count += 1;
  return count;
};

/** Counts what a lexeme costs, and says when it is too much. */
const makeCount = (watch: Watch): ((lexeme: string, isScalar: boolean) => Stop['because'] | undefined) => {
  let emptyLines = 0;
  return (lexeme, isScalar) => {
    const cost = isScalar || lexeme.length > 2 ? 1 + linesIn(lexeme) : 1;
    if (!isScalar && (lexeme === '\n' || lexeme === '\r\n')) emptyLines += 1;
    else if (isScalar || lexeme.trim() !== '') emptyLines = 0;
    if (watch.pieces + cost > mostPieces) return 'too-many-pieces';
    watch.pieces += cost;
    return emptyLines > mostEmptyLines ? 'too-many-empty-lines' : undefined;
  };
};

function* tokens(text: string, watch: Watch) {
  const { parser, forbidden } = watch;
  const count = makeCount(watch);
  let isScalar = false;
  for (const lexeme of new Lexer().lex(text)) {
    const because = count(lexeme, isScalar);
    if (because !== undefined) {
      watch.stopped = { because, offset: parser.offset };
      return;
    }
    const sign = isScalar ? '' : (lexeme[0] ?? '');
    if (sign === '"' || sign === "'") watch.lastQuote = parser.offset;
    const code = signs[sign];
    if (code !== undefined) forbidden.push({ code, offset: parser.offset, text: lexeme });
    isScalar = lexeme === scalarFollows;
    yield* parser.next(lexeme);
    if (parser.stack.length > deepest) watch.stopped = { because: 'too-deep', offset: parser.offset };
    if (watch.stopped !== undefined || forbidden.length > mostMessages) return;
  }
  yield* parser.end();
}

const options = { schema: 'failsafe', uniqueKeys: false, prettyErrors: false } as const;

/** Errors of YAML that leave the structure whole: each follows from something forbidden, which has its own message. */
const harmless: ReadonlySet<YAMLError['code']> = new Set([
  'ALIAS_PROPS',
  'BAD_ALIAS',
  'BAD_COLLECTION_TYPE',
  'BAD_DIRECTIVE',
  'MULTIPLE_ANCHORS',
  'MULTIPLE_TAGS',
  'TAG_RESOLVE_FAILED',
]);

const keepFirst = (watch: Watch, fault: SyntaxFault): void => {
  if (!harmless.has(fault.code) && (watch.error === undefined || fault.offset < watch.error.offset))
    watch.error = fault;
};

type Source = number | readonly number[] | { readonly offset: number };

const offsetOf = (source: Source): number =>
  typeof source === 'number' ? source : 'offset' in source ? source.offset : (source[0] ?? 0);

/**
 * A composer that keeps the first error. The package's own makes an object with a stack for every one, and a short hostile text has a million.
 */
const composerFor = (watch: Watch): Composer =>
  Object.assign(new Composer(options), {
    onError: (source: Source, code: YAMLError['code'], message: string, isWarning?: boolean): void => {
      if (isWarning !== true) keepFirst(watch, { code, message, offset: offsetOf(source) });
    },
  });

/** Reads one document. A second one is reported and not read. */
export const compose = (text: string): Composed => {
  const watch: Watch = { parser: new Parser(), forbidden: [], lastQuote: 0, pieces: 0 };
  const composer = composerFor(watch);
  const documents: Document.Parsed[] = [];
  let count = 0;
  for (const token of tokens(text, watch)) {
    if (token.type === 'document') count += 1;
    if (count > 1) {
      watch.forbidden.push({ code: 'several-documents', offset: token.offset, text: '' });
      break;
    }
    if (token.type === 'error')
      keepFirst(watch, { code: 'UNEXPECTED_TOKEN', message: token.message, offset: token.offset });
    else documents.push(...composer.next(token));
  }
  documents.push(...composer.end(true, text.length));
  const { parser: _, ...found } = watch;
  return { document: documents[0], ...found };
};
