import { currentTries } from '../../job/values.ts';
import { countdown, spokenTime } from '../drawing/clock.ts';
import { largeClock } from '../drawing/digits.ts';
import { mark, paragraphRows, row, span, type Row } from '../drawing/rows.ts';
import type { PromptOf } from '../session/prompt.ts';
import type { MenuItem } from '../session/menu/item.ts';
import { promptItems } from '../session/prompt-items.ts';
import type { Session } from '../session/state.ts';
import { holdText } from './hold.ts';
import type { JobNow } from '../job-now.ts';
import {
  digits,
  hint,
  marked,
  menuHint,
  backHint,
  title,
  type Canvas,
  type ListView,
  type PageContent,
} from './page.ts';
import { answerRows } from './answer.ts';

const asList = (items: readonly MenuItem[]): ListView => ({
  items: items.map(({ label, aside }) => ({ row: row(label), ...(aside === undefined ? {} : { aside }) })),
});

const triesText = (here: JobNow, prompt: PromptOf<'doors'>): readonly Row[] => {
  const trouble = prompt.troubles[0];
  if (!trouble) return [];
  const tries = currentTries(here.job, trouble.on);
  return tries.length > 1 ? [[span(`tries: ${tries.map((taken) => taken.value).join(', ')}`, 'quiet')]] : [];
};

/** A value outside its limits, or undecided, and the ways on from it. */
export const contentOfDoors = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'doors'>,
  canvas: Canvas,
): PageContent => {
  const trouble = prompt.troubles[0];
  const asked = here.job.dispositions.some(
    (one) => one.kind === 'ask' && trouble !== undefined && one.covers.includes(trouble.key),
  );
  return {
    text: [
      ...title(prompt.step.title, canvas.width),
      ...(trouble
        ? marked(
            { outside: canvas.marks.not, undecided: canvas.marks.undecided, refused: canvas.marks.attention }[
              trouble.verdict
            ],
            trouble.what,
            canvas.width,
            trouble.verdict === 'outside' ? 'outside' : 'person',
          )
        : []),
      ...triesText(here, prompt),
      ...(asked ? [[mark('The designer is asked; the job waits.', 'person')] as Row] : []),
    ],
    list: asList(promptItems(here)),
    work: [],
    said: answerRows(
      session.answer?.verdict === undefined ? session.answer : undefined,
      canvas.marks,
      canvas.width,
      here.facts.now,
    ),
    hints: [hint(digits(promptItems(here).length), 'choose'), menuHint, backHint],
  };
};

/** A hold, for the second person: what to look for, what was entered, and their answers. */
export const contentOfHold = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'hold' | 'witness'>,
  canvas: Canvas,
): PageContent => ({
  right: [mark(prompt.kind === 'hold' ? 'HOLD POINT' : 'witness point', 'person')],
  text: holdText(here, prompt.step, canvas),
  list: asList(promptItems(here)),
  work: [],
  said: answerRows(session.answer, canvas.marks, canvas.width, here.facts.now),
  hints: [
    hint(
      digits(promptItems(here).length),
      prompt.kind === 'hold' ? `${prompt.step.hold?.by ?? 'inspector'} answers` : 'choose',
    ),
    menuHint,
  ],
});

/** The step cannot be begun yet: what it waits for, and the ways on. Shown before anybody touches the work. */
export const contentOfBarred = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'barred'>,
  canvas: Canvas,
): PageContent => {
  const items = promptItems(here);
  return {
    text: [
      ...title(prompt.step.title, canvas.width),
      ...prompt.refusals.flatMap(({ what, todo }) => [
        ...marked(canvas.marks.attention, what, canvas.width, 'outside'),
        ...paragraphRows(todo, canvas.width, 'plain', 2),
      ]),
    ],
    list: asList(items),
    work: [],
    said: answerRows(session.answer, canvas.marks, canvas.width, here.facts.now),
    hints: [hint(digits(items.length), 'choose'), menuHint, backHint],
  };
};

/** The pot life of the glue is over: the clock at zero, and the ways on. */
export const contentOfOver = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'over'>,
  canvas: Canvas,
): PageContent => {
  const { now } = here.facts;
  const ended = `pot life of ${prompt.life.batch} ended ${spokenTime(prompt.life.ends, now.ms, now.offset)}`;
  const items = promptItems(here);
  return {
    text: [
      ...title(prompt.step.title, canvas.width),
      ...largeClock(countdown(0), canvas.marks, 'outside'),
      ...paragraphRows(ended, canvas.width, 'outside'),
    ],
    list: asList(items),
    work: [],
    said: answerRows(session.answer, canvas.marks, canvas.width, now),
    hints: [hint(digits(items.length), 'choose'), menuHint, backHint],
  };
};
