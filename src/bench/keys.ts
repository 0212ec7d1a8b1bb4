import type { Key, KeyName } from '../terminal/keys.ts';

/** What a key means, before a screen says what that does there. */
export type KeyAct =
  | 'take'
  | 'back'
  | 'up'
  | 'down'
  | 'page-up'
  | 'page-down'
  | 'menu'
  | 'left'
  | 'right'
  | 'home'
  | 'end'
  | 'erase'
  | 'erase-ahead'
  | 'erase-all'
  | 'leave';

/** Every key of the bench that types nothing. Five of them, with the digits, do a whole job: up, down, enter, space, escape. */
export const keyTable: readonly { readonly name: KeyName; readonly act: KeyAct; readonly does: string }[] = [
  { name: 'enter', act: 'take', does: 'saves what is typed, or goes on, as the last line but one says' },
  { name: 'escape', act: 'back', does: 'goes back; what is typed is kept' },
  { name: 'up', act: 'up', does: 'one up' },
  { name: 'down', act: 'down', does: 'one down; more of a long text' },
  { name: 'page-up', act: 'page-up', does: 'a page up' },
  { name: 'page-down', act: 'page-down', does: 'a page down' },
  { name: 'tab', act: 'menu', does: 'everything else (as space does while nothing is typed)' },
  { name: 'left', act: 'left', does: 'left in what is typed' },
  { name: 'right', act: 'right', does: 'right in what is typed' },
  { name: 'home', act: 'home', does: 'to the beginning of what is typed' },
  { name: 'end', act: 'end', does: 'to the end of what is typed' },
  { name: 'backspace', act: 'erase', does: 'takes one character back' },
  { name: 'delete', act: 'erase-ahead', does: 'takes the next character away' },
  { name: 'ctrl-u', act: 'erase-all', does: 'clears what is typed' },
  { name: 'ctrl-c', act: 'leave', does: 'leaves dryfit; all that was taken is kept' },
  { name: 'ctrl-d', act: 'leave', does: 'leaves dryfit; all that was taken is kept' },
];

/** The keys of their own: a permanent or critical step never goes by the common one. Taken with and without shift. */
export const separateKeys = {
  begin: { key: 'b', does: 'begins a permanent step' },
  finish: { key: 'f', does: 'finishes a permanent or critical step' },
  mark: { key: 'm', does: 'says that the torque mark is on' },
} as const;

export type OwnKey = keyof typeof separateKeys;

const acts = new Map<KeyName, KeyAct>(keyTable.map(({ name, act }) => [name, act]));

export type Pressed =
  | { readonly kind: 'act'; readonly act: KeyAct }
  /** `pasted`: text that came whole. It goes into a field or nowhere, and is never a key. */
  | {
      readonly kind: 'typed';
      readonly text: string;
      readonly digit?: number;
      readonly own?: OwnKey;
      readonly pasted?: true;
    };

const ownOf = (text: string): OwnKey | undefined =>
  (Object.keys(separateKeys) as OwnKey[]).find((own) => separateKeys[own].key === text.toLowerCase());

/** Whether this very key was pressed, and not text pasted that reads the same. */
export const isKey = (key: Pressed, text: string): boolean => key.kind === 'typed' && !key.pasted && key.text === text;

/** What was pressed, or nothing where the key has no meaning at the bench. */
export const pressed = (key: Key): Pressed | undefined => {
  if (key.kind === 'paste') return { kind: 'typed', text: key.text, pasted: true };
  if (key.kind === 'char') {
    const own = ownOf(key.text);
    return {
      kind: 'typed',
      text: key.text,
      ...(/^[0-9]$/.test(key.text) ? { digit: Number(key.text) } : {}),
      ...(own ? { own } : {}),
    };
  }
  const act = key.alt ? undefined : acts.get(key.name);
  return act === undefined ? undefined : { kind: 'act', act };
};
