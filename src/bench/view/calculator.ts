import { printBoth } from '../../quantity/quantity.ts';
import { plotLines } from '../../report/plot.ts';
import type { Calculation } from '../../trade/calculation.ts';
import { findCalculation, type CalculationResult } from '../../trade/calculations.ts';
import { calculationsFor, fits } from '../../trade/gives.ts';
import { mark, paragraphRows, row, span, type Row } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import { pageResult } from '../session/calculator.ts';
import { questionsOf } from '../session/calculator-inputs.ts';
import { asValue, handedBack, targetOf, type ReturnTarget } from '../session/calculator-target.ts';
import { questionAt } from '../session/form.ts';
import type { Pages, Session } from '../session/state.ts';
import { backHint, digits, hint, labelled, marked, title, type Canvas, type PageContent } from './page.ts';
import { answersRow, questionHints, questionRows } from './question.ts';
import { faultRows } from './answer.ts';

const left: Row = [mark('Calculate', 'strong')];

/** The value that a result would be entered for. */
const askedFor = (to: ReturnTarget | undefined): string =>
  to === undefined ? '' : `${to.reading.ask ?? to.reading.reading}, in ${to.unit.name}`;

export const calculatorsView = (
  session: Session,
  page: Pages['calculators'],
  facts: BenchFacts,
  canvas: Canvas,
): PageContent => {
  const to = targetOf(session, facts);
  const kind = to?.unit.dimension;
  const list = calculationsFor(kind);
  return {
    left,
    text:
      kind === undefined
        ? []
        : paragraphRows(`For ${askedFor(to)}; first what gives ${kind.replaceAll('-', ' ')}:`, canvas.width, 'quiet'),
    list: {
      items: list.map((calculation) => {
        const other = kind !== undefined && fits(calculation, kind) === 2;
        return {
          row: [span(calculation.title, other ? 'quiet' : 'plain')],
          ...(other ? { aside: 'another kind' } : {}),
        };
      }),
      selected: page.selected,
    },
    work: [],
    said: [],
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), backHint],
  };
};

const inputsView = (
  page: Pages['calculator'],
  calculation: Calculation,
  to: ReturnTarget | undefined,
  facts: BenchFacts,
  canvas: Canvas,
): PageContent => {
  const form = questionsOf(calculation, to?.unit, page.filled.answers);
  const question = questionAt(form, page.filled);
  const { fault } = page.filled;
  return {
    left,
    text: [...title(calculation.title, canvas.width), ...paragraphRows(calculation.range, canvas.width, 'quiet')],
    work: [
      ...answersRow(form.questions, page.filled, canvas.width),
      ...(question ? questionRows(question, page.filled, canvas) : []),
    ],
    said: fault ? faultRows(fault, canvas.marks, canvas.width, facts.now) : [],
    hints: questionHints(question, page.filled),
  };
};

const plotRows = ({ plot }: CalculationResult, { width, desk, marks }: Canvas): readonly Row[] => {
  const size = { width: Math.min(width, 64), height: desk ? 8 : 5 };
  return plot ? plotLines(plot, size, marks.fine).map((line): Row => [mark(line)]) : [];
};

const resultText = (calculation: Calculation, done: CalculationResult, canvas: Canvas): readonly Row[] => {
  const { width, marks } = canvas;
  const indent = Math.min(18, Math.max(9, ...done.results.map(({ name }) => name.length + 1)));
  const line = (label: string, text: string, style?: 'strong' | 'quiet'): readonly Row[] =>
    labelled(label, text, width, style, indent);
  return [
    ...title(calculation.title, width),
    ...done.results.flatMap(({ name, quantity }, index) =>
      line(name, printBoth(quantity), index === 0 ? 'strong' : undefined),
    ),
    ...plotRows(done, canvas),
    ...done.warnings.flatMap((warning) => marked(marks.attention, warning, width, 'person')),
    ...line('working', done.working),
    ...line('caution', calculation.caution),
    ...line('source', calculation.source, 'quiet'),
  ];
};

const resultView = (
  calculation: Calculation,
  done: CalculationResult,
  to: ReturnTarget | undefined,
  canvas: Canvas,
): PageContent => {
  const results = handedBack(done, to);
  const items = to ? results.map((result) => ({ row: row(`${result.name} ${asValue(result, to)}`) })) : [];
  return {
    left,
    text: resultText(calculation, done, canvas),
    ...(items.length > 0 ? { list: { items, selected: 0 } } : {}),
    work:
      to !== undefined && items.length === 0
        ? [
            [
              mark(
                `nothing here for ${to.reading.reading}: it wants ${to.unit.dimension.replaceAll('-', ' ')}`,
                'quiet',
              ),
            ],
          ]
        : [],
    said: [],
    hints:
      items.length > 0
        ? [hint('enter', 'hand it back'), ...(items.length > 1 ? [hint(digits(items.length), 'choose')] : []), backHint]
        : [hint('enter', 'back'), backHint],
  };
};

export const calculatorView = (
  session: Session,
  page: Pages['calculator'],
  facts: BenchFacts,
  canvas: Canvas,
): PageContent => {
  const found = findCalculation(page.calculation);
  const to = targetOf(session, facts);
  const done = pageResult(page);
  if (!found.ok) return { left, text: [], work: [], said: [], hints: [backHint] };
  return done?.ok ? resultView(found.value, done.value, to, canvas) : inputsView(page, found.value, to, facts, canvas);
};
