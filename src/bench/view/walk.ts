import type { JobState } from '../../job/state.ts';
import { paragraphRows, type Row } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import type { Prompt } from '../session/ask.ts';
import type { Page, Session } from '../session/state.ts';
import { askFor } from '../session/walk.ts';
import { middleOfDoors, middleOfHold, middleOfOver } from './ask-choice.ts';
import { middleOfCard, middleOfComplete, middleOfFinish, middleOfMark } from './ask-finish.ts';
import { middleOfQuestion } from './ask-question.ts';
import { placed, type Placed } from './job.ts';
import { hint, labelled, marked, menuHint, notYetHint, title, type Canvas, type Middle } from './page.ts';
import { stepText } from './step.ts';
import { toldRows } from './told.ts';

type WalkPage = Extract<Page, { page: 'walk' }>;

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

type Kind<K extends Prompt['kind']> = Extract<Prompt, { kind: K }>;

const toldHere = (here: Placed, session: Session, { marks, width }: Canvas): readonly Row[] =>
  toldRows(session.told, marks, width, here.facts.now);

const middleOfStuck = (here: Placed, session: Session, ask: Kind<'stuck'>, canvas: Canvas): Middle => ({
  text: [
    ...stepText(ask.step, canvas),
    ...marked(canvas.marks.attention, `still wanted: ${ask.missing.what}`, canvas.width, 'person'),
  ],
  work: [],
  said: toldHere(here, session, canvas),
  hints: [menuHint, notYetHint],
});

const middleOfParked = (here: Placed, session: Session, _ask: Kind<'parked'>, canvas: Canvas): Middle => ({
  text: parkText(here.job, canvas.width),
  work: [],
  said: toldHere(here, session, canvas),
  hints: [hint('enter', 'take it up again'), menuHint, notYetHint],
});

const middleOfClosed = (here: Placed, session: Session, _ask: Kind<'closed'>, canvas: Canvas): Middle => ({
  text: [
    ...title('This job is complete.', canvas.width),
    ...paragraphRows(
      'Its record is written. A correction, an undo or a remark is kept, and the next record names this one.',
      canvas.width,
    ),
  ],
  work: [],
  said: toldHere(here, session, canvas),
  hints: [hint('esc', 'list of jobs'), menuHint],
});

/** What stands on the screen for each thing that a job can want. */
const middles: {
  readonly [K in Prompt['kind']]: (
    here: Placed,
    session: Session,
    ask: Kind<K>,
    canvas: Canvas,
    page: WalkPage,
  ) => Middle;
} = {
  question: middleOfQuestion,
  card: middleOfCard,
  mark: middleOfMark,
  doors: middleOfDoors,
  hold: middleOfHold,
  witness: middleOfHold,
  finish: middleOfFinish,
  over: middleOfOver,
  stuck: middleOfStuck,
  parked: middleOfParked,
  complete: middleOfComplete,
  closed: middleOfClosed,
};

const middleOf = <K extends Prompt['kind']>(
  here: Placed,
  session: Session,
  ask: Kind<K>,
  canvas: Canvas,
  page: WalkPage,
): Middle => {
  const middle: (typeof middles)[K] = middles[ask.kind as K];
  return middle(here, session, ask, canvas, page);
};

/** What the screen of a job that is walked says: the one thing that the job wants now. */
export const walkView = (session: Session, page: WalkPage, facts: BenchFacts, job: JobState, canvas: Canvas): Middle =>
  middleOf(placed(facts, job), session, askFor(facts, job), canvas, page);
