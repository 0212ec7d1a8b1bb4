import type { KeyAct } from '../keys.ts';
import { graphemes } from '../../report/width.ts';

/** What is being typed: the text on either side of the cursor. */
export interface TextField {
  readonly before: string;
  readonly after: string;
}

export const emptyField: TextField = { before: '', after: '' };

export const fieldOf = (text: string): TextField => ({ before: text, after: '' });

export const fieldText = ({ before, after }: TextField): string => before + after;

export const isEmpty = (field: TextField): boolean => fieldText(field) === '';

/** Typed or pasted text goes in whole, at the cursor. Line ends and tabs become a space; other control characters are left out. */
export const typeInto = (field: TextField, text: string): TextField => ({
  ...field,
  // eslint-disable-next-line no-control-regex -- control characters are what is taken out
  before: field.before + text.replace(/[\n\t]+/g, ' ').replace(/[\u0000-\u001f\u007f-\u009f]/g, ''),
});

const last = (text: string): string => graphemes(text).at(-1) ?? '';
const first = (text: string): string => graphemes(text)[0] ?? '';

const edits: Partial<Record<KeyAct, (field: TextField) => TextField>> = {
  left: ({ before, after }) => {
    const moved = last(before);
    return { before: before.slice(0, before.length - moved.length), after: moved + after };
  },
  right: ({ before, after }) => {
    const moved = first(after);
    return { before: before + moved, after: after.slice(moved.length) };
  },
  home: (field) => ({ before: '', after: fieldText(field) }),
  end: (field) => ({ before: fieldText(field), after: '' }),
  erase: ({ before, after }) => ({ before: before.slice(0, before.length - last(before).length), after }),
  'erase-ahead': ({ before, after }) => ({ before, after: after.slice(first(after).length) }),
  'erase-all': () => emptyField,
};

/** The field after an editing key; undefined where the key does not edit. */
export const editField = (field: TextField, act: KeyAct): TextField | undefined => edits[act]?.(field);
