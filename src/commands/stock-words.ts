import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import type { StockKey } from '../workshop/stock.ts';

interface Form {
  readonly keys: readonly string[];
  readonly required: readonly string[];
  readonly form: string;
}

export const forms = {
  add: {
    keys: ['number', 'made', 'use-by', 'opened', 'once-opened', 'quantity', 'where', 'serial'],
    required: [],
    form: 'dryfit stock add MATERIAL number=L-204 [made=DAY] [use-by=DAY] [once-opened=SPAN] [quantity=…] [where=…]',
  },
  'add-part': {
    keys: ['number', 'quantity', 'where', 'serial', 'made'],
    required: [],
    form: 'dryfit stock add-part PART [serial=…] [quantity=…] [where=…]',
  },
  open: { keys: ['number', 'on', 'once-opened'], required: [], form: 'dryfit stock open MATERIAL NUMBER [on=DAY]' },
  quarantine: {
    keys: ['number', 'serial', 'because'],
    required: ['because'],
    form: 'dryfit stock quarantine MATERIAL NUMBER (or PART serial=…) because=…',
  },
  restore: {
    keys: ['number', 'serial', 'because'],
    required: ['because'],
    form: 'dryfit stock restore MATERIAL NUMBER (or PART serial=…) because=…',
  },
  extend: {
    keys: ['number', 'to', 'because', 'evidence'],
    required: ['to', 'because', 'evidence'],
    form: 'dryfit stock extend MATERIAL NUMBER to=DAY because=… evidence=FILE',
  },
} as const satisfies Record<string, Form>;

export type StockVerb = keyof typeof forms;

export const isStockVerb = (word: string | undefined): word is StockVerb =>
  word !== undefined && Object.hasOwn(forms, word);

/** What was typed after the verb. */
export interface Words {
  readonly key: StockKey;
  readonly values: Readonly<Record<string, string>>;
}

const wordFault = (verb: StockVerb, word: string): Fault => {
  const near = suggest(word.split('=')[0] ?? '', forms[verb].keys);
  return usage(
    'field-unknown',
    `stock ${verb}: '${word}' means nothing`,
    near === undefined ? `write: ${forms[verb].form}` : `did you mean ${near}=?`,
  );
};

/** `MATERIAL NUMBER key=value …`: the number bare, or as a key. */
export const readStockWords = (verb: StockVerb, words: readonly string[]): Outcome<Words> => {
  const { keys, required, form }: Form = forms[verb];
  const [what, ...more] = words;
  if (what === undefined || what.includes('='))
    return err(usage('word-missing', `stock ${verb}: nothing is named`, `write: ${form}`));
  const values: Record<string, string> = {};
  for (const [index, word] of more.entries()) {
    const at = word.indexOf('=');
    const [key, value] = at < 1 && index === 0 ? ['number', word] : [word.slice(0, at), word.slice(at + 1)];
    if (at === 0 || (at < 0 && index > 0) || !keys.includes(key)) return err(wordFault(verb, word));
    if (Object.hasOwn(values, key)) return err(usage('field-twice', `stock ${verb}: ${key} stands there twice`, form));
    if (value.trim() === '') return err(usage('value-unreadable', `stock ${verb}: ${key} is empty`, `write: ${form}`));
    values[key] = value;
  }
  const missing = required.find((key) => values[key] === undefined);
  if (missing !== undefined)
    return err(usage('field-missing', `stock ${verb}: ${missing} is missing`, `write: ${form}`));
  const { number, serial } = values;
  // A part that comes in is another line, whatever its serial number.
  const named = verb === 'add' || verb === 'add-part' ? undefined : serial;
  const key = {
    what,
    ...(number === undefined ? {} : { number }),
    ...(named === undefined ? {} : { serial: named }),
  };
  return ok({ key, values });
};
