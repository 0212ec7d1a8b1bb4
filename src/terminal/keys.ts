/** The keys that have a name. Space has none: it is the character ' '. */
export type KeyName =
  | 'enter'
  | 'escape'
  | 'tab'
  | 'backspace'
  | 'delete'
  | 'insert'
  | 'up'
  | 'down'
  | 'left'
  | 'right'
  | 'home'
  | 'end'
  | 'page-up'
  | 'page-down'
  | `f${1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12}`
  | `ctrl-${Letter}`
  | 'ctrl-space'
  | 'ctrl-\\'
  | 'ctrl-]'
  | 'ctrl-^'
  | 'ctrl-_';

/** Without h, i, j and m, which a terminal sends as backspace, tab and enter. */
export type Letter =
  | ('a' | 'b' | 'c' | 'd' | 'e' | 'f' | 'g' | 'k' | 'l' | 'n' | 'o' | 'p')
  | ('q' | 'r' | 's' | 't' | 'u' | 'v' | 'w' | 'x' | 'y' | 'z');

/** The modifiers that a terminal reports together with a named key; absent means not held. */
export interface NamedKey {
  readonly kind: 'named';
  readonly name: KeyName;
  readonly ctrl?: true;
  readonly alt?: true;
  readonly shift?: true;
}

/**
 * One thing that a person did at the keyboard, however the terminal split it.
 * - `char`: one grapheme, as typed. A scanner sends one `char` after the other, then `enter`.
 * - `paste`: the whole text of one bracketed paste, line ends as `\n`; it may hold control characters.
 * - `named`: a key that types nothing.
 */
export type Key =
  { readonly kind: 'char'; readonly text: string } | { readonly kind: 'paste'; readonly text: string } | NamedKey;
