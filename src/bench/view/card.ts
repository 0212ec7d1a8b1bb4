import { toCome } from '../../aircraft/to-come.ts';
import type { Step } from '../../procedure/model.ts';
import { permanentCard } from '../../job/ahead.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { stepOf } from '../../procedure/plan.ts';
import { parseInstant } from '../../quantity/time.ts';
import { wallTime } from '../drawing/clock.ts';
import { mark, span, type Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import { gateRows } from './gate.ts';
import { labelled, type Canvas } from './page.ts';

const provedWords = ({ job, facts }: JobNow, by: string | undefined): string => {
  if (by === undefined) return 'not proved';
  const step = stepOf(job.plan, by);
  const when = step && stepStateOf(job, by).finished?.when;
  const at = when === undefined ? undefined : parseInstant(when);
  return `${step?.title ?? by}${at?.ok ? `, ${wallTime(at.value.ms, facts.now.offset)}` : ''}`;
};

const list = (items: readonly string[]): string => (items.length === 0 ? 'nothing' : items.join(', '));

/** One permanent step, as it is read before it begins: what it fixes, what proved that, who still needs it, what it covers. */
const cardRows = (here: JobNow, step: Step, canvas: Canvas): readonly Row[] => {
  const { width, marks } = canvas;
  const { build, procedures } = here.facts;
  const card = permanentCard(here.job, step, here.around, toCome(build, procedures));
  return [
    [mark('PERMANENT ', 'strong'), span(step.title, 'strong')],
    ...labelled('makes fast', list(card.sets), width),
    ...card.proved.flatMap(({ feature, by }) =>
      labelled(
        by === undefined ? `${marks.attention} proved` : 'proved',
        `${card.proved.length > 1 ? `${feature}: ` : ''}${provedWords(here, by)}`,
        width,
        by === undefined ? 'outside' : 'plain',
      ),
    ),
    ...labelled(
      'needed by',
      list(card.reliedOnBy.map(({ title, job }) => `${title}${job === undefined ? '' : ` of ${job}`}`)),
      width,
    ),
    ...labelled('covers', list(card.covers), width),
    ...card.reachers.flatMap(({ area, step: reacher, job }) =>
      labelled(
        `${marks.attention} to reach`,
        `${area}: ${reacher}${job === undefined ? '' : ` of ${job}`}`,
        width,
        'outside',
      ),
    ),
    ...(card.gate === undefined ? [] : [...labelled('gate', card.gate.gate, width), ...gateRows(card.gate, canvas)]),
  ];
};

const potLifeWords = (here: JobNow, step: Step): readonly string[] =>
  step.mix && step.mix.potLife.length > 0
    ? [step.mix.potLife.map(({ time, at }) => `${time.text}${at ? ` at ${at.text}` : ''}`).join(', ')]
    : [];

/** Everything that the builder commits to when this step begins; read before the glue is mixed. */
export const cardText = (
  here: JobNow,
  step: Step,
  commits: readonly Step[],
  helpers: number,
  canvas: Canvas,
): readonly Row[] => [
  ...(commits.length === 0
    ? [[span(step.title, 'strong')] as Row]
    : commits.flatMap((one) => cardRows(here, one, canvas))),
  ...labelled(
    'helper',
    helpers === 0 ? 'nobody more' : `${helpers} more, here and ready`,
    canvas.width,
    helpers === 0 ? 'plain' : 'person',
  ),
  ...potLifeWords(here, step).flatMap((words) => labelled('pot life', words, canvas.width)),
];
