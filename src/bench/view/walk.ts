import { waitFrom } from '../../job/decide/flow.ts';
import { potLifeNow } from '../../job/potlife.ts';
import { wetMixes } from '../../build/status.ts';
import { currentTries } from '../../job/values.ts';
import type { JobState } from '../../job/state.ts';
import type { Step } from '../../procedure/model.ts';
import type { Fault } from '../../fault/fault.ts';
import { ownKeys } from '../keys.ts';
import { countdown, spokenTime } from '../parts/clock.ts';
import { largeClock } from '../parts/digits.ts';
import { isEmpty } from '../parts/field.ts';
import { mark, paragraph, row, span, type Row } from '../parts/rows.ts';
import type { World } from '../ports.ts';
import type { Ask } from '../session/ask.ts';
import { isChoice, questionAt, type Filled, type Form } from '../session/form.ts';
import type { Page, Session } from '../session/state.ts';
import { askFor, askItems, filledFor } from '../session/walk.ts';
import { cardText } from './card.ts';
import { cureText, cureWork } from './cure.ts';
import { formSaid, formWork } from './form.ts';
import { openingRefused, wouldRefuse } from './forecast.ts';
import { holdText } from './hold.ts';
import {
  alarmOf,
  clockRow,
  clocksOf,
  jobName,
  placed,
  rivetsOf,
  sideOf,
  signedOn,
  valuesOfStep,
  type Placed,
} from './job.ts';
import {
  digits,
  emptyPage,
  hint,
  labelled,
  marked,
  title,
  type Canvas,
  type Hint,
  type ListView,
  type PageView,
} from './page.ts';
import { stepText } from './step.ts';
import { mapRows } from './tighten.ts';
import { faultRows, toldRows } from './told.ts';

type WalkPage = Extract<Page, { page: 'walk' }>;
type Middle = Pick<PageView, 'text' | 'work' | 'said' | 'hints' | 'seconds'> & {
  readonly list?: ListView;
  readonly right?: Row;
};

const menu = hint('space', 'menu');
const notYet = hint('esc', 'not yet');

const asList = (items: ReturnType<typeof askItems>): ListView => ({
  items: items.map(({ label, aside }) => ({ row: row(label), ...(aside === undefined ? {} : { aside }) })),
});

const formHints = (form: Form, filled: Filled): readonly Hint[] => {
  const question = questionAt(form, filled);
  if (question && isChoice(question)) return [hint('enter', 'take it'), hint('1 to 9', 'choose'), menu, notYet];
  const typed = !isEmpty(filled.field);
  if (question?.kind === 'lines')
    return [hint('enter', typed ? 'add it' : 'no more'), hint('esc', typed ? 'clear' : 'back')];
  if (typed) return [hint('enter', 'take it'), hint('esc', 'clear')];
  return [question?.required === false ? hint('enter', 'leave it out') : hint('enter', 'take it'), menu, notYet];
};

/** A verdict while something is typed, the fault of what was typed, or what was taken last. */
const saidOf = (
  session: Session,
  world: World,
  filled: Filled | undefined,
  live: readonly Row[],
  canvas: Canvas,
): readonly Row[] => {
  if (filled?.fault) return faultRows(filled.fault, canvas.marks, canvas.width, world.now);
  return live.length > 0 ? live : toldRows(session.told, canvas.marks, canvas.width, world.now);
};

const questionText = (here: Placed, ask: Extract<Ask, { kind: 'question' }>, canvas: Canvas): readonly Row[] => {
  const own = ['reading', 'tighten', 'mix', 'cure', 'helpers'].includes(ask.part.part);
  const about = ask.form.about.flatMap((text) => paragraph(text, canvas.width));
  if (!own) return [...title(ask.form.title, canvas.width), ...about];
  return [...stepText(ask.step, canvas), ...about, ...(ask.part.part === 'cure' ? cureText(here, ask.step) : [])];
};

const middleOfQuestion = (
  here: Placed,
  session: Session,
  page: WalkPage,
  ask: Extract<Ask, { kind: 'question' }>,
  canvas: Canvas,
): Middle => {
  const filled = filledFor(ask.form, page.filled);
  return {
    text: questionText(here, ask, canvas),
    work: formWork(here, ask.step, ask.part, ask.form, filled, canvas),
    said: saidOf(session, here.world, filled, formSaid(here, ask.step, ask.part, ask.form, filled, canvas), canvas),
    hints: formHints(ask.form, filled),
    seconds: false,
  };
};

const notYetRows = (here: Placed, fault: Fault, canvas: Canvas): readonly Row[] =>
  faultRows(fault, canvas.marks, canvas.width, here.world.now);

/** A clock that runs down, as large as it can be: the pot life of the open step, or the wait that is left. */
const runningClock = (
  here: Placed,
  step: Step,
  canvas: Canvas,
): { readonly rows: readonly Row[]; readonly seconds: boolean } => {
  const { job, around, world } = here;
  const life = step.inPotLifeOf.length > 0 ? potLifeNow(job, wetMixes(job), around, world.now.ms) : undefined;
  if (life) {
    const left = life.ends - world.now.ms;
    const rows = [
      ...largeClock(countdown(left), canvas.marks, left < 10 * 60_000 ? 'outside' : 'strong'),
      [span(`pot life of ${life.batch}, to ${spokenTime(life.ends, world.now.ms, world.now.offset)}`, 'quiet')] as Row,
    ];
    return { rows, seconds: left > 0 };
  }
  const until = step.wait ? waitFrom({ job }, step) + step.wait.ms : undefined;
  if (until === undefined || until <= world.now.ms) return { rows: [], seconds: false };
  const left = until - world.now.ms;
  return {
    rows: [
      ...largeClock(countdown(left), canvas.marks, 'strong'),
      [span(`wait, until ${spokenTime(until, world.now.ms, world.now.offset)}`, 'quiet')],
    ],
    seconds: left < 60 * 60_000,
  };
};

const middleOfFinish = (
  here: Placed,
  session: Session,
  ask: Extract<Ask, { kind: 'finish' }>,
  canvas: Canvas,
): Middle => {
  const { step } = ask;
  const values = valuesOfStep(here, step, canvas.marks);
  const refused = wouldRefuse(here, session.by ?? '', 'finish', { step: step.step });
  const clock = runningClock(here, step, canvas);
  const told = toldRows(session.told, canvas.marks, canvas.width, here.world.now);
  const cure = step.cure ? cureWork(here, step, canvas) : [];
  return {
    text: [...stepText(step, canvas), ...values],
    work: [...cure, ...clock.rows],
    said: refused ? notYetRows(here, refused, canvas) : told,
    hints: [ask.own ? hint(ownKeys[ask.own].key, 'finish') : hint('enter', 'finish'), menu, notYet],
    seconds: clock.seconds,
  };
};

const middleOfCard = (here: Placed, session: Session, ask: Extract<Ask, { kind: 'card' }>, canvas: Canvas): Middle => {
  const refused = openingRefused(here, session.by ?? '', ask.step);
  return {
    text: cardText(here, ask.step, ask.commits, ask.helpers, canvas),
    work: [],
    said: refused
      ? notYetRows(here, refused, canvas)
      : toldRows(session.told, canvas.marks, canvas.width, here.world.now),
    hints: [hint(ownKeys.begin.key, 'begin'), menu, notYet],
    seconds: false,
  };
};

const triesText = (here: Placed, ask: Extract<Ask, { kind: 'doors' }>, canvas: Canvas): readonly Row[] => {
  const trouble = ask.troubles[0];
  if (!trouble) return [];
  const tries = currentTries(here.job, trouble.on);
  return tries.length > 1 ? [[span(`tries: ${tries.map((taken) => taken.value).join(', ')}`, 'quiet')]] : [];
};

const middleOfDoors = (
  here: Placed,
  session: Session,
  ask: Extract<Ask, { kind: 'doors' }>,
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
      ...triesText(here, ask, canvas),
      ...(asked ? [[mark('The designer is asked; the job waits.', 'person')] as Row] : []),
    ],
    list: asList(askItems(here.world, here.job, ask)),
    work: [],
    said: toldRows(
      session.told?.verdict === undefined ? session.told : undefined,
      canvas.marks,
      canvas.width,
      here.world.now,
    ),
    hints: [hint(digits(askItems(here.world, here.job, ask).length), 'choose'), menu, notYet],
    seconds: false,
  };
};

const middleOfHold = (
  here: Placed,
  session: Session,
  ask: Extract<Ask, { kind: 'hold' | 'witness' }>,
  canvas: Canvas,
): Middle => ({
  right: [mark(ask.kind === 'hold' ? 'HOLD POINT' : 'witness point', 'person')],
  text: holdText(here, ask.step, canvas),
  list: asList(askItems(here.world, here.job, ask)),
  work: [],
  said: toldRows(session.told, canvas.marks, canvas.width, here.world.now),
  hints: [
    hint(
      digits(askItems(here.world, here.job, ask).length),
      ask.kind === 'hold' ? `${ask.step.hold?.by ?? 'inspector'} answers` : 'choose',
    ),
    menu,
  ],
  seconds: false,
});

const middleOfMark = (here: Placed, session: Session, ask: Extract<Ask, { kind: 'mark' }>, canvas: Canvas): Middle => ({
  text: stepText(ask.step, canvas),
  work: [
    ...mapRows(here, ask.step, ask.fastener, canvas),
    [span(`Put the torque mark on fastener ${ask.fastener}`, 'strong')],
  ],
  said: toldRows(session.told, canvas.marks, canvas.width, here.world.now),
  hints: [hint(ownKeys.mark.key, 'the mark is on'), menu, notYet],
  seconds: false,
});

const parkText = (job: JobState, width: number): readonly Row[] => {
  const park = job.parks.at(-1);
  if (!park) return [];
  return [
    ...title('Parked', width),
    ...labelled('waits for', park.waitsFor, width),
    ...labelled('state', park.state, width),
    ...labelled('where', park.where, width),
    ...labelled('because', park.because, width),
  ];
};

const middleOf = (here: Placed, session: Session, page: WalkPage, ask: Ask, canvas: Canvas): Middle => {
  const { width, marks } = canvas;
  const told = toldRows(session.told, marks, width, here.world.now);
  switch (ask.kind) {
    case 'question':
      return middleOfQuestion(here, session, page, ask, canvas);
    case 'card':
      return middleOfCard(here, session, ask, canvas);
    case 'mark':
      return middleOfMark(here, session, ask, canvas);
    case 'doors':
      return middleOfDoors(here, session, ask, canvas);
    case 'hold':
    case 'witness':
      return middleOfHold(here, session, ask, canvas);
    case 'finish':
      return middleOfFinish(here, session, ask, canvas);
    case 'stuck':
      return {
        text: [
          ...stepText(ask.step, canvas),
          ...marked(marks.attention, `still wanted: ${ask.missing.what}`, width, 'person'),
        ],
        work: [],
        said: told,
        hints: [menu, notYet],
        seconds: false,
      };
    case 'parked':
      return {
        text: parkText(here.job, width),
        work: [],
        said: told,
        hints: [hint('enter', 'take it up again'), menu, notYet],
        seconds: false,
      };
    case 'complete': {
      const refused = wouldRefuse(here, session.by ?? '', 'complete', {});
      return {
        text: [
          ...title('Every step is finished.', width),
          ...paragraph('Completing signs the record and writes it.', width),
        ],
        work: [],
        said: refused ? notYetRows(here, refused, canvas) : told,
        hints: [hint('enter', 'complete the job'), menu, notYet],
        seconds: false,
      };
    }
    case 'closed':
      return {
        text: [
          ...title('This job is complete.', width),
          ...paragraph(
            'Its record is written. A correction, an undo or a remark is kept, and the next record names this one.',
            width,
          ),
        ],
        work: [],
        said: told,
        hints: [hint('esc', 'list of jobs'), menu],
        seconds: false,
      };
  }
};

/** The screen of a job that is walked: the one thing it wants now. */
export const walkView = (
  session: Session,
  page: WalkPage,
  world: World,
  job: JobState,
  canvas: Canvas,
  whole: number,
): PageView => {
  const here = placed(world, job);
  const ask = askFor(world, job);
  const { line, place } = rivetsOf(here, canvas.marks, whole);
  const clocks = clocksOf(world, job);
  const middle = middleOf(here, session, page, ask, canvas);
  const alarm = alarmOf(world);
  return {
    ...emptyPage,
    left: [span(jobName(job), 'quiet')],
    right: signedOn(world, session),
    line,
    place,
    ...middle,
    clocks: clockRow(clocks),
    side: sideOf(world, job, canvas),
    seconds: middle.seconds || clocks.some((clock) => clock.seconds),
    ...(alarm ? { alarm } : {}),
  };
};
