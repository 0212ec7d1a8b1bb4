import type { Mix } from '../../procedure/model.ts';
import { mixTargets } from '../../job/potlife.ts';
import { limitsNow } from '../../job/values.ts';
import { decide } from '../../quantity/decision.ts';
import { resolutionOf } from '../../job/limits-shown.ts';
import type { FixedLimits } from '../../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import { shownLimits, shownTarget } from '../../quantity/shown-limits.ts';
import { findUnit } from '../../quantity/units.ts';
import { roomForDigits, valueRows } from '../drawing/digits.ts';
import { fieldText } from '../drawing/field.ts';
import { paragraphRows, span, type Row } from '../drawing/rows.ts';
import { questionAt, type Filled, type Form, type Question } from '../session/form.ts';
import type { Canvas } from '../view/page.ts';
import { answersRow, gaugeRow, questionRows } from '../view/question.ts';
import { verdictRow } from '../view/answer.ts';
import type { OpenForm } from './part.ts';

const amount = (text: string, question: Question): Quantity | undefined => {
  const unit = question.unit === undefined ? undefined : findUnit(question.unit);
  const read = parseQuantity(text, unit ? { unit } : {});
  return read.ok && read.value.unit.dimension === unit?.dimension ? read.value : undefined;
};

interface Asked {
  readonly question: Question;
  readonly part: string;
  readonly target?: Quantity;
  readonly band?: FixedLimits;
}

/** The part that is weighed, with its target and band once the base is known. */
const askedPart = (mix: Mix, form: Form, filled: Filled): Asked | undefined => {
  const question = questionAt(form, filled);
  const part = question?.name.startsWith('weights.') ? question.name.slice('weights.'.length) : undefined;
  const base = mix.ratio[0]?.part;
  if (!question || part === undefined || base === undefined) return undefined;
  const weighed = filled.answers[`weights.${base}`];
  const baseAmount = typeof weighed === 'string' ? amount(weighed, question) : undefined;
  const target = baseAmount && part !== base ? mixTargets(mix, baseAmount).find((one) => one.part === part) : undefined;
  if (!target) return { question, part };
  return {
    question,
    part,
    target: target.target,
    band: {
      text: '',
      low: { at: target.low, included: true },
      high: { at: target.high, included: true },
    },
  };
};

const ratioWords = (mix: Mix): string =>
  `${mix.ratio.map(({ part }) => part).join(' : ')} = ${mix.ratio.map(({ share }) => share).join(' : ')} by ${mix.by}`;

/** The target of a part in block digits, rounded to what is weighed; beside it, within which numbers the cup is in its ratio. */
const targetRows = (text: string, shown: FixedLimits, { marks, width, rows }: Canvas): readonly Row[] =>
  valueRows(text, [span(shown.text)], marks, width, rows >= roomForDigits);

/** From so many rows on, the limits of a cup are drawn too: beside the target they are there in numbers. */
const roomForGauge = 12;

export const mixWork = ({ here, subject: { mix }, form, filled }: OpenForm<'mix'>, canvas: Canvas): readonly Row[] => {
  const question = questionAt(form, filled);
  if (!question) return [];
  const asked = askedPart(mix, form, filled);
  const batch = mix.batch && limitsNow(here.job, mix.batch);
  const value = amount(fieldText(filled.field), question);
  const band = asked?.band;
  const shown = band && shownLimits(band, resolutionOf(here.job, here.around, mix.tool));
  const within = band && value ? decide(value, band) === 'within' : undefined;
  const first: readonly Row[] =
    filled.at === 0
      ? paragraphRows(`${ratioWords(mix)}${batch ? `; the batch ${batch.text}` : ''}`, canvas.width, 'quiet').slice(
          0,
          2,
        )
      : answersRow(form.questions, filled, canvas.width);
  return [
    ...first,
    ...(asked?.target && band && shown
      ? targetRows(shownTarget(asked.target, band, resolutionOf(here.job, here.around, mix.tool)), shown, canvas)
      : []),
    ...questionRows(question, filled, canvas),
    ...(shown && (canvas.rows >= roomForGauge || !asked?.target) ? [gaugeRow(shown, value, within, canvas)] : []),
  ];
};

export const mixSaid = ({ subject: { mix }, form, filled }: OpenForm<'mix'>, canvas: Canvas): readonly Row[] => {
  const asked = askedPart(mix, form, filled);
  const value = asked && amount(fieldText(filled.field), asked.question);
  if (!asked?.band || !value) return [];
  const within = decide(value, asked.band) === 'within';
  return [verdictRow(within ? 'within' : 'outside', canvas.marks, within ? '' : ' its ratio: a cup to discard')];
};
