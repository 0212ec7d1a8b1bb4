import { stageAwaited } from '../../job/refusals/stage-and-pot-life.ts';
import { stageWords } from '../../job/stage-words.ts';
import type { Step } from '../../procedure/model.ts';
import { spanWords, spoken, foreseenTime } from '../drawing/clock.ts';
import { mark, paragraphRows, row, span, type Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import { promptItems } from '../session/prompt-items.ts';
import type { PromptOf } from '../session/prompt.ts';
import type { Session } from '../session/state.ts';
import { answerRows } from './answer.ts';
import { digits, hint, marked, menuHint, backHint, title, type Canvas, type PageContent } from './page.ts';
import { stepWarnings } from './step.ts';

/** When a stage that a step waits for should be reached, and how much of it has counted. */
const waitingRows = ({ job, moment, facts }: JobNow, step: Step, { width }: Canvas): readonly Row[] => {
  const stage = stageAwaited(job, step, moment);
  if (!stage) return [];
  const { ms, offset } = facts.now;
  const when = stage.forecast === undefined ? undefined : foreseenTime(stage.forecast, ms, offset);
  return [
    [span(when === undefined ? `not before the ${stage.stage} cure` : `not before ${when}`, 'strong')],
    ...paragraphRows(`${stage.stage} cure: ${stageWords(stage, spanWords)} counted`, width),
  ];
};

/** What would be entered next is refused now: why, what it waits for, and the ways on. Nothing is asked. */
export const contentOfRefused = (
  here: JobNow,
  session: Session,
  { step, form, refusals }: PromptOf<'refused'>,
  canvas: Canvas,
): PageContent => {
  const { marks, width } = canvas;
  const { now } = here.facts;
  const items = promptItems(here);
  const waiting = waitingRows(here, step, canvas);
  const others = waiting.length > 0 ? refusals.filter(({ code }) => code !== 'cure-not-reached') : refusals;
  return {
    text: [
      ...title(form.title, width),
      ...stepWarnings(step, canvas),
      ...waiting,
      ...others.flatMap(({ what, todo }) => [
        ...marked(marks.not, spoken(what, now.ms, now.offset), width, 'outside'),
        ...paragraphRows(spoken(todo, now.ms, now.offset), Math.max(8, width - 2)).map((line): Row => [
          mark('  '),
          ...line,
        ]),
      ]),
    ],
    list: { items: items.map(({ label, aside }) => ({ row: row(label), ...(aside === undefined ? {} : { aside }) })) },
    work: [],
    said: answerRows(session.answer, marks, width, now),
    hints: [...(items.length > 0 ? [hint(digits(items.length), 'choose')] : []), menuHint, backHint],
  };
};
