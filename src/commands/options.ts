import { parseArgs } from 'node:util';
import { suggest } from '../fault/nearest.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { everywhere, type OptionSpec } from './spec.ts';
import { own } from '../fault/own.ts';

export interface Parsed {
  readonly words: readonly string[];
  readonly values: Readonly<Record<string, string | boolean | readonly (string | boolean)[] | undefined>>;
}

// A word like `-5 °C` is a value, but parseArgs would take it for an option: it is disguised on the way through.
const disguise = '\u0000';
const disguised = (word: string): string => (/^-[\d.,]/.test(word) ? disguise + word : word);
const plain = <T>(value: T): T =>
  (typeof value === 'string' && value.startsWith(disguise) ? value.slice(1) : value) as T;

const forParse = (options: Readonly<Record<string, OptionSpec>>) =>
  Object.fromEntries(
    Object.entries(options).map(([name, { type, multiple }]) => [name, { type, multiple: multiple ?? false }]),
  );

/** The word that names the command: the first that is neither an option nor an option's value. */
export const splitCommand = (argv: readonly string[]): { readonly name?: string; readonly rest: readonly string[] } => {
  const { tokens } = parseArgs({
    args: argv.map(disguised),
    options: forParse(everywhere),
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  const first = tokens.find((token) => token.kind === 'positional');
  if (first === undefined) return { rest: argv };
  return { name: plain(first.value), rest: argv.toSpliced(first.index, 1) };
};

const unknownOption = (option: string, known: readonly string[]): Outcome<never> => {
  const guess = suggest(option, known);
  return err(
    usage(
      'option-unknown',
      `there is no option --${option}`,
      guess === undefined ? 'Look at --help' : `Did you mean --${guess}?`,
    ),
  );
};

/** Separates the words and the options of one command. An unknown option is a fault. */
export const parseOptions = (argv: readonly string[], its: Readonly<Record<string, OptionSpec>>): Outcome<Parsed> => {
  const options: Readonly<Record<string, OptionSpec>> = { ...everywhere, ...its };
  const { tokens, values, positionals } = parseArgs({
    args: argv.map(disguised),
    options: forParse(options),
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  for (const token of tokens) {
    if (token.kind !== 'option') continue;
    const spec = own(options, token.name);
    if (spec === undefined) return unknownOption(token.name, Object.keys(options));
    const missing =
      spec.type === 'string' && (token.value === undefined || (!token.inlineValue && isOption(token.value)));
    if (missing) {
      return err(
        usage('value-missing', `--${token.name} wants a value`, `Write --${token.name} ${spec.value ?? 'VALUE'}`),
      );
    }
    if (spec.type === 'boolean' && token.value !== undefined) {
      return err(usage('value-unwanted', `--${token.name} takes no value`, `Write --${token.name} alone`));
    }
  }
  return ok({
    words: positionals.map(plain),
    values: Object.fromEntries(
      Object.entries(values).map(([name, value]) => [name, Array.isArray(value) ? value.map(plain) : plain(value)]),
    ),
  });
};

const isOption = (value: string): boolean => /^--\w/.test(value);
