import { troubleWords } from '../../job/trouble-words.ts';
import type { Trouble } from '../../job/parts/part.ts';
import { countdown, spokenTime } from '../drawing/clock.ts';
import { largeClock } from '../drawing/digits.ts';
import { mark, paragraphRows, row, type Row } from '../drawing/rows.ts';
import type { PromptOf } from '../session/prompt.ts';
import type { MenuItem } from '../session/menu/item.ts';
import { promptItems } from '../session/prompt-items.ts';
import type { Pages, Session } from '../session/state.ts';
import { holdPages } from './hold.ts';
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

/** What is wrong with the value: what it is called, what was entered, which limit it passes, and what else was entered in this very place. */
const troubleText = ({ job, around }: JobNow, trouble: Trouble, { marks, width }: Canvas): readonly Row[] => {
  const { title: name, what, tries } = troubleWords(job, trouble, around);
  const sign = { outside: marks.not, undecided: marks.undecided, refused: marks.attention }[trouble.verdict];
  return [
    ...title(name, width),
    ...marked(sign, what, width, trouble.verdict === 'outside' ? 'outside' : 'person'),
    ...(tries.length > 1 ? paragraphRows(`tries here: ${tries.join(', ')}`, width, 'quiet', 2) : []),
  ];
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
      ...(trouble ? troubleText(here, trouble, canvas) : title(prompt.step.title, canvas.width)),
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

/**
 * A hold, for the second person, page by page: what to look for, all that was entered, and on the last page their answers. Nothing is
 * offered before all of it was on the screen.
 */
export const contentOfHold = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'hold' | 'witness'>,
  canvas: Canvas,
  page: Pages['walk'],
): PageContent => {
  const items = promptItems(here);
  const { rows, at, of } = holdPages(here, prompt.step, canvas, page.scroll, items.length);
  const isLast = at === of - 1;
  const answers = prompt.kind === 'hold' ? 'release' : 'answers';
  // Nobody need read on where nobody came.
  const alone = prompt.kind === 'witness' ? [hint('2', 'nobody came')] : [];
  return {
    right: [mark(prompt.kind === 'hold' ? 'HOLD POINT' : 'witness point', 'person')],
    text: rows,
    paged: { at, of },
    ...(isLast ? { list: asList(items) } : {}),
    work: [],
    said: answerRows(session.answer, canvas.marks, canvas.width, here.facts.now).slice(0, 1),
    hints: isLast
      ? [
          hint(
            digits(items.length),
            prompt.kind === 'hold' ? `${prompt.step.hold?.by ?? 'inspector'} answers` : 'choose',
          ),
          ...(of > 1 ? [hint(canvas.marks.up, 'page before')] : []),
          menuHint,
        ]
      : [hint(canvas.marks.down, 'next page'), hint('', `${answers} on page ${of}`), ...alone, menuHint],
  };
};

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
