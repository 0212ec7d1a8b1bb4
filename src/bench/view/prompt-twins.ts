import { twinsApart, twinText } from '../../job/parts/twin.ts';
import { row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import { promptItems } from '../session/prompt-items.ts';
import type { PromptOf } from '../session/prompt.ts';
import type { Session } from '../session/state.ts';
import { answerRows } from './answer.ts';
import { digits, hint, marked, menuHint, backHint, title, type Canvas, type PageContent } from './page.ts';

/** Two sides that differ by more than they may: both values, their difference against what is allowed, and the way to either. */
export const contentOfTwins = (
  here: JobNow,
  session: Session,
  { step }: PromptOf<'twins'>,
  canvas: Canvas,
): PageContent => {
  const { marks, width } = canvas;
  const items = promptItems(here);
  return {
    text: [
      ...title(step.title, width),
      ...twinsApart(here.job, step.step, here.around).flatMap((apart) =>
        marked(marks.not, twinText(apart), width, 'outside'),
      ),
    ],
    list: { items: items.map(({ label, aside }) => ({ row: row(label), ...(aside === undefined ? {} : { aside }) })) },
    work: [],
    said: answerRows(session.answer, marks, width, here.facts.now),
    hints: [...(items.length > 0 ? [hint(digits(items.length), 'choose')] : []), menuHint, backHint],
  };
};
