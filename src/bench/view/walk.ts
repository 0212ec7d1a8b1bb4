import type { JobState } from '../../job/state.ts';
import { paragraph, type Row } from '../parts/rows.ts';
import type { World } from '../ports.ts';
import type { Ask } from '../session/ask.ts';
import type { Page, Session } from '../session/state.ts';
import { askFor } from '../session/walk.ts';
import { middleOfDoors, middleOfHold } from './ask-choice.ts';
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
        hints: [menuHint, notYetHint],
      };
    case 'parked':
      return {
        text: parkText(here.job, width),
        work: [],
        said: told,
        hints: [hint('enter', 'take it up again'), menuHint, notYetHint],
      };
    case 'complete':
      return middleOfComplete(here, session, canvas);
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
        hints: [hint('esc', 'list of jobs'), menuHint],
      };
  }
};

/** What the screen of a job that is walked says: the one thing that the job wants now. */
export const walkView = (session: Session, page: WalkPage, world: World, job: JobState, canvas: Canvas): Middle =>
  middleOf(placed(world, job), session, page, askFor(world, job), canvas);
