import Fraction from 'fraction.js';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { makeQuantity, printBoth } from '../quantity/quantity.ts';
import { decimalText, printNumber, toSignificant } from '../quantity/rational.ts';
import { plotLines, plotWords } from '../report/plot.ts';
import { columnWidths, padTo, rowLines, wrap } from '../report/wrap.ts';
import { drawsUnicode } from '../terminal/environment.ts';
import type { Calculation, InputSpec, NamedResult } from '../trade/calculation.ts';
import { calculate, calculations, findCalculation, type CalculationResult } from '../trade/calculations.ts';
import { labelledLines, lineWidth } from './columns.ts';
import { failed } from './fail.ts';
import type { Call, CommandSpec } from './spec.ts';

/** Columns of the labels in front of what is printed. */
const labelWidth = 9;

const label = (name: string, text: string, width: number): readonly string[] =>
  labelledLines(name, text, width, labelWidth);

const table = (rows: readonly (readonly string[])[], width: number): readonly string[] => {
  const wanted = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const widths = columnWidths(wanted, width - 2);
  return rows.flatMap((row) => rowLines(row, widths).map((line) => `  ${line}`));
};

const printList = (call: Call): number => {
  const all = Object.values(calculations);
  if (call.flag('json')) call.print.json({ calculations: all.map(({ name, title }) => ({ name, title })) });
  else
    call.print.lines(
      ...table(
        all.map(({ name, title }) => [name, title]),
        lineWidth(call),
      ),
      '',
      ...wrap('dryfit calc NAME tells what it takes, where it comes from and how far it reaches.', lineWidth(call)),
    );
  return 0;
};

const kindOf = ({ dimension, choices, bare, many }: InputSpec): string => {
  const kinds = typeof dimension === 'string' ? [dimension] : dimension;
  const kind = dimension === 'any' ? 'any measure' : kinds.join(' or ').replaceAll('-', ' ');
  const taken = choices === undefined ? kind : choices.join(' or ');
  return `${taken}${bare === undefined ? '' : ` (a bare number: ${bare})`}${many === true ? ', several' : ''}`;
};

const narrow = 72;

/** The inputs as a table. Where four columns have no room, the meaning of each input is on lines of its own. */
const inputLines = (inputs: readonly InputSpec[], width: number): readonly string[] => {
  const needs = ({ required }: InputSpec): string => (required ? 'required' : 'optional');
  if (width >= narrow)
    return table(
      inputs.map((input) => [input.name, needs(input), kindOf(input), input.about]),
      width,
    );
  return inputs.flatMap((input) => [
    ...wrap(`${input.name}, ${needs(input)}: ${kindOf(input)}`, width),
    ...wrap(input.about, width - 2).map((line) => `  ${line}`),
  ]);
};

const quotedWord = (text: string): string => (/^[\w./:%+-]*$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`);

const exampleLine = ({ name, example }: Calculation): string =>
  `dryfit calc ${name} ${Object.entries(example)
    .map(([key, value]) => `${key}=${quotedWord(value)}`)
    .join(' ')}`;

const explain = (call: Call, calculation: Calculation): number => {
  const { name, title, inputs, source, range, caution, example } = calculation;
  if (call.flag('json')) {
    call.print.json({ calculation: name, title, inputs, source, range, caution, example });
    return 0;
  }
  const width = lineWidth(call);
  call.print.lines(
    ...wrap(`${name}: ${title}`, width),
    '',
    ...inputLines(inputs, width),
    '',
    ...label('source', source, width),
    ...label('range', range, width),
    ...label('caution', caution, width),
    ...label('example', exampleLine(calculation), width),
  );
  return 0;
};

/** What joins two values given for the same input, or the fault where the input takes only one. */
const joint = (spec: InputSpec | undefined, key: string): Outcome<string> =>
  spec === undefined || spec.many === true || (spec.dimension === 'text' && spec.choices === undefined)
    ? ok('; ')
    : err(usage('input-twice', `${key} is given twice`, `give ${key} once`, key));

/**
 * Words `key=value`. A word without `=` belongs to the value before it, as the shell splits `torque=300 in·lb`. A key that comes again adds
 * to its list.
 */
const readWords = (calculation: Calculation, words: readonly string[]): Outcome<Readonly<Record<string, string>>> => {
  const pairs: { readonly key: string; readonly value: string }[] = [];
  for (const word of words) {
    const [, key, value] = /^([^\s=]+)=(.*)$/su.exec(word) ?? [];
    const last = pairs.pop();
    if (key !== undefined && value !== undefined) pairs.push(...(last ? [last] : []), { key, value });
    else if (last !== undefined && !word.includes('='))
      pairs.push({ key: last.key, value: `${last.value} ${word}`.trim() });
    else
      return err(
        usage('word-unreadable', `'${word.slice(0, 40)}' is no key=value`, `write ${exampleLine(calculation)}`),
      );
  }
  const inputs = new Map<string, string>();
  for (const { key, value } of pairs) {
    const before = inputs.get(key);
    const between =
      before === undefined
        ? ok('')
        : joint(
            calculation.inputs.find(({ name }) => name === key),
            key,
          );
    if (!between.ok) return between;
    inputs.set(key, `${before ?? ''}${between.value}${value}`);
  }
  return ok(Object.fromEntries(inputs));
};

/** A value to three digits, to set a tool by. Only where the printed value is itself rounded, and never for an end of a band. */
const shortForm = ({ name, quantity: { amount, unit } }: NamedResult): string => {
  const short = toSignificant(amount, 3);
  const ends = new Fraction(printNumber(amount)).equals(amount);
  const band = name === 'low' || name === 'high';
  return ends || band || short === printNumber(amount) ? '' : `, about ${makeQuantity(new Fraction(short), unit).text}`;
};

const resultLines = (results: readonly NamedResult[], width: number): readonly string[] => {
  const name = Math.max(labelWidth - 1, ...results.map((result) => result.name.length));
  return results.flatMap((result, index) => {
    const text = `${printBoth(result.quantity)}${index === 0 ? shortForm(result) : ''}`;
    return wrap(`${padTo(result.name, name)} ${text}`, width);
  });
};

/** Columns of a plot; a wider one would show no more. */
const widestPlot = 64;
const plotHeight = 8;

/** The plot of a result, where it has one; in words for whoever reads line by line (`--plain`). */
const plotOf = (call: Call, { plot }: CalculationResult, width: number): readonly string[] => {
  if (plot === undefined) return [];
  if (call.flag('plain')) return label('plot', plotWords(plot), width);
  const size = { width: Math.min(width, widestPlot), height: plotHeight };
  const lines = plotLines(plot, size, drawsUnicode(call.host.env.variables));
  return lines.length === 0 ? [] : ['', ...lines, ''];
};

const printResult = (call: Call, { source, caution }: Calculation, done: CalculationResult): number => {
  if (call.flag('json')) {
    for (const warning of done.warnings) call.print.note(`warning: ${warning}`);
    const results = done.results.map(({ name, quantity: { amount, unit } }) => ({
      name,
      value: decimalText(amount),
      unit: unit.name,
    }));
    call.print.json({ calculation: done.calculation, results, source, caution });
    return 0;
  }
  const width = lineWidth(call);
  call.print.lines(
    ...resultLines(done.results, width),
    ...plotOf(call, done, width),
    ...label('working', done.working, width),
    ...done.warnings.flatMap((warning) => label('warning', warning, width)),
    ...label('source', source, width),
    ...label('caution', caution, width),
  );
  return 0;
};

const run = (call: Call): number => {
  const [name, ...words] = call.words;
  if (name === undefined) return printList(call);
  const calculation = findCalculation(name);
  if (!calculation.ok) return failed(call, calculation.fault);
  if (words.length === 0) return explain(call, calculation.value);
  const inputs = readWords(calculation.value, words);
  if (!inputs.ok) return failed(call, inputs.fault);
  const done = calculate(name, inputs.value);
  return done.ok ? printResult(call, calculation.value, done.value) : failed(call, done.fault);
};

export const calcCommand: CommandSpec = {
  name: 'calc',
  about: 'the trade calculations, each with its source, range and caution',
  usage: ['dryfit calc', 'dryfit calc NAME', 'dryfit calc NAME key=value …'],
  options: {},
  more: [
    'Alone it lists the calculations; with a NAME it tells what that one takes; with values it calculates.',
    'A list repeats its key or is parted by semicolons. Units may stand apart: torque=300 in·lb wrench=10 in.',
    'It informs; the kit’s manual and the data sheet have the last word.',
  ],
  run,
};
