import { currentTries } from '../../job/values.ts';
import { countdown, spokenTime } from '../drawing/clock.ts';
import { largeClock } from '../drawing/digits.ts';
import { mark, paragraphRows, row, span, type Row } from '../drawing/rows.ts';
import type { Prompt } from '../session/ask.ts';
import type { Session } from '../session/state.ts';
import { askItems } from '../session/walk.ts';
import { holdText } from './hold.ts';
import type { Placed } from './job.ts';
import { digits, hint, marked, menuHint, notYetHint, title, type Canvas, type ListView, type Middle } from './page.ts';
import { toldRows } from './told.ts';

const asList = (items: ReturnType<typeof askItems>): ListView => ({
  items: items.map(({ label, aside }) => ({ row: row(label), ...(aside === undefined ? {} : { aside }) })),
});

const triesText = (here: Placed, ask: Extract<Prompt, { kind: 'doors' }>): readonly Row[] => {
  const trouble = ask.troubles[0];
  if (!trouble) return [];
  const tries = currentTries(here.job, trouble.on);
  return tries.length > 1 ? [[span(`tries: ${tries.map((taken) => taken.value).join(', ')}`, 'quiet')]] : [];
};

/** A value outside its limits, or undecided: the doors. */
export const middleOfDoors = (
  here: Placed,
  session: Session,
  ask: Extract<Prompt, { kind: 'doors' }>,
  canvas: Canvas,
): Middle => {
  const trouble = ask.troubles[0];
  const asked = here.job.dispositions.some(
    (one) => one.kind === 'ask' && trouble !== undefined && one.covers.includes(trouble.key),
  );
  return {
    text: [
      ...title(ask.step.title, canvas.width),
      ...(trouble
        ? marked(
            trouble.verdict === 'outside' ? canvas.marks.not : canvas.marks.undecided,
            trouble.what,
            canvas.width,
            trouble.verdict === 'outside' ? 'outside' : 'person',
          )
        : []),
      ...triesText(here, ask),
      ...(asked ? [[mark('The designer is asked; the job waits.', 'person')] as Row] : []),
    ],
    list: asList(askItems(here.facts, here.job, ask)),
    work: [],
    said: toldRows(
      session.told?.verdict === undefined ? session.told : undefined,
      canvas.marks,
      canvas.width,
      here.facts.now,
    ),
    hints: [hint(digits(askItems(here.facts, here.job, ask).length), 'choose'), menuHint, notYetHint],
  };
};

/** The hold is handed over: what to look for, what was entered, and the second person's own answers. */
export const middleOfHold = (
  here: Placed,
  session: Session,
  ask: Extract<Prompt, { kind: 'hold' | 'witness' }>,
  canvas: Canvas,
): Middle => ({
  right: [mark(ask.kind === 'hold' ? 'HOLD POINT' : 'witness point', 'person')],
  text: holdText(here, ask.step, canvas),
  list: asList(askItems(here.facts, here.job, ask)),
  work: [],
  said: toldRows(session.told, canvas.marks, canvas.width, here.facts.now),
  hints: [
    hint(
      digits(askItems(here.facts, here.job, ask).length),
      ask.kind === 'hold' ? `${ask.step.hold?.by ?? 'inspector'} answers` : 'choose',
    ),
    menuHint,
  ],
});

/** The glue is over its pot life: the clock at nought, and the two ways on. */
export const middleOfOver = (
  here: Placed,
  session: Session,
  ask: Extract<Prompt, { kind: 'over' }>,
  canvas: Canvas,
): Middle => {
  const { now } = here.facts;
  const ended = `pot life of ${ask.life.batch} ended ${spokenTime(ask.life.ends, now.ms, now.offset)}`;
  const items = askItems(here.facts, here.job, ask);
  return {
    text: [
      ...title(ask.step.title, canvas.width),
      ...largeClock(countdown(0), canvas.marks, 'outside'),
      ...paragraphRows(ended, canvas.width, 'outside'),
    ],
    list: asList(items),
    work: [],
    said: toldRows(session.told, canvas.marks, canvas.width, now),
    hints: [hint(digits(items.length), 'choose'), menuHint, notYetHint],
  };
};
