import {
  ansiCodesToString,
  diffAnsiCodes,
  reduceAnsiCodesIncremental,
  tokenize as tokenizeAnew,
  type AnsiCode,
  type StyledChar,
  type Token,
} from '@alcalzone/ansi-tokenize';
import { recent } from './recent.ts';

const lines = recent<Token[]>(500);
const characters = new WeakMap<readonly Token[], StyledChar[]>();

/** Replaces tokenize: a line of the last frame is not taken apart again. */
export const tokenize = (line: string): Token[] => lines(line, () => tokenizeAnew(line));

const styled = (tokens: readonly Token[]): StyledChar[] => {
  const chars: StyledChar[] = [];
  let styles: AnsiCode[] = [];
  for (const token of tokens) {
    if (token.type === 'char') chars.push({ type: 'char', value: token.value, fullWidth: token.fullWidth, styles });
    else styles = reduceAnsiCodesIncremental(styles, [token]);
  }
  return chars;
};

/** Replaces styledCharsFromTokens: neighbours of one style share the list of its codes. */
export const styledCharsFromTokens = (tokens: readonly Token[]): StyledChar[] => {
  const chars = characters.get(tokens) ?? styled(tokens);
  characters.set(tokens, chars);
  return chars;
};

/** The codes that lead from one style to another; between neighbours of one style there are none to work out. */
const between = (from: AnsiCode[], to: AnsiCode[]): string =>
  from === to || (from.length === 0 && to.length === 0) ? '' : ansiCodesToString(diffAnsiCodes(from, to));

/** Replaces styledCharsToString. */
export const styledCharsToString = (chars: readonly StyledChar[]): string => {
  let text = '';
  let before: AnsiCode[] = [];
  for (const { styles, value } of chars) {
    text += between(before, styles) + value;
    before = styles;
  }
  return text + between(before, []);
};
