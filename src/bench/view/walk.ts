import type { JobState } from '../../job/state.ts';
import { paragraphRows, type Row } from '../drawing/rows.ts';
import { placed, type Placed } from '../placed.ts';
import type { BenchFacts } from '../ports.ts';
import { promptNow } from '../session/prompt-now.ts';
import type { Prompt, PromptOf } from '../session/prompt.ts';
import type { Pages, Session } from '../session/state.ts';
import { middleOfDoors, middleOfHold, middleOfOver } from './prompt-choice.ts';
import { middleOfCard, middleOfComplete, middleOfFinish, middleOfMark } from './prompt-finish.ts';
import { middleOfQuestion } from './prompt-question.ts';
import { hint, labelled, marked, menuHint, notYetHint, title, type Canvas, type Middle } from './page.ts';
import { stepText } from './step.ts';
import { toldRows } from './told.ts';

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

const toldHere = (here: Placed, session: Session, { marks, width }: Canvas): readonly Row[] =>
  toldRows(session.told, marks, width, here.facts.now);

const middleOfStuck = (here: Placed, session: Session, prompt: PromptOf<'stuck'>, canvas: Canvas): Middle => ({
  text: [
    ...stepText(prompt.step, canvas),
    ...marked(canvas.marks.attention, `still wanted: ${prompt.what}`, canvas.width, 'person'),
  ],
  work: [],
  said: toldHere(here, session, canvas),
  hints: [menuHint, notYetHint],
});

const middleOfParked = (here: Placed, session: Session, _prompt: PromptOf<'parked'>, canvas: Canvas): Middle => ({
  text: parkText(here.job, canvas.width),
  work: [],
  said: toldHere(here, session, canvas),
  hints: [hint('enter', 'take it up again'), menuHint, notYetHint],
});

const middleOfClosed = (here: Placed, session: Session, _prompt: PromptOf<'closed'>, canvas: Canvas): Middle => ({
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

/** The page for each thing that a job can want. */
const middles: {
  readonly [K in Prompt['kind']]: (
    here: Placed,
    session: Session,
    prompt: PromptOf<K>,
    canvas: Canvas,
    page: Pages['walk'],
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
  prompt: PromptOf<K>,
  canvas: Canvas,
  page: Pages['walk'],
): Middle => {
  const middle: (typeof middles)[K] = middles[prompt.kind as K];
  return middle(here, session, prompt, canvas, page);
};

/** The page of a job: the one thing that it wants now. */
export const walkView = (
  session: Session,
  page: Pages['walk'],
  facts: BenchFacts,
  job: JobState,
  canvas: Canvas,
): Middle => {
  const here = placed(facts, job);
  return middleOf(here, session, promptNow(here), canvas, page);
};
