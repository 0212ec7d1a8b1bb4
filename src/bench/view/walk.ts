import type { JobState } from '../../job/state.ts';
import { paragraphRows, type Row } from '../drawing/rows.ts';
import { jobNow, type JobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { promptNow } from '../session/prompt-now.ts';
import type { Prompt, PromptOf } from '../session/prompt.ts';
import type { Pages, Session } from '../session/state.ts';
import { contentOfBarred, contentOfDoors, contentOfHold, contentOfOver } from './prompt-choice.ts';
import { contentOfCard, contentOfComplete, contentOfFinish, contentOfMark } from './prompt-finish.ts';
import { contentOfQuestion } from './prompt-question.ts';
import { contentOfRefused } from './prompt-refused.ts';
import { contentOfTwins } from './prompt-twins.ts';
import { hint, labelled, marked, menuHint, backHint, title, type Canvas, type PageContent } from './page.ts';
import { stepText } from './step.ts';
import { answerRows } from './answer.ts';

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

const toldHere = (here: JobNow, session: Session, { marks, width }: Canvas): readonly Row[] =>
  answerRows(session.answer, marks, width, here.facts.now);

const contentOfStuck = (here: JobNow, session: Session, prompt: PromptOf<'stuck'>, canvas: Canvas): PageContent => ({
  text: [
    ...stepText(here.job, prompt.step, canvas),
    ...marked(canvas.marks.attention, `still wanted: ${prompt.what}`, canvas.width, 'person'),
  ],
  work: [],
  said: toldHere(here, session, canvas),
  hints: [menuHint, backHint],
});

const contentOfParked = (here: JobNow, session: Session, _prompt: PromptOf<'parked'>, canvas: Canvas): PageContent => ({
  text: parkText(here.job, canvas.width),
  work: [],
  said: toldHere(here, session, canvas),
  hints: [hint('enter', 'go on with the job'), menuHint, backHint],
});

const contentOfClosed = (here: JobNow, session: Session, _prompt: PromptOf<'closed'>, canvas: Canvas): PageContent => ({
  text: [
    ...title(here.job.withdrawn ? 'This job is withdrawn.' : 'This job is complete.', canvas.width),
    ...paragraphRows(
      here.job.withdrawn
        ? `${here.job.withdrawn.because} Nothing more is entered in this job.`
        : 'Its record is written. A correction, an undo or a remark is kept, and the next record names this one.',
      canvas.width,
    ),
  ],
  work: [],
  said: toldHere(here, session, canvas),
  hints: [hint('esc', 'list of jobs'), menuHint],
});

/** The page for each thing that a job can want. */
const contents: {
  readonly [K in Prompt['kind']]: (
    here: JobNow,
    session: Session,
    prompt: PromptOf<K>,
    canvas: Canvas,
    page: Pages['walk'],
  ) => PageContent;
} = {
  question: contentOfQuestion,
  card: contentOfCard,
  mark: contentOfMark,
  doors: contentOfDoors,
  hold: contentOfHold,
  witness: contentOfHold,
  finish: contentOfFinish,
  barred: contentOfBarred,
  refused: contentOfRefused,
  twins: contentOfTwins,
  over: contentOfOver,
  stuck: contentOfStuck,
  parked: contentOfParked,
  complete: contentOfComplete,
  closed: contentOfClosed,
};

const contentOf = <K extends Prompt['kind']>(
  here: JobNow,
  session: Session,
  prompt: PromptOf<K>,
  canvas: Canvas,
  page: Pages['walk'],
): PageContent => {
  const content: (typeof contents)[K] = contents[prompt.kind as K];
  return content(here, session, prompt, canvas, page);
};

/** The page of a job: the one thing that it wants now. */
export const walkView = (
  session: Session,
  page: Pages['walk'],
  facts: BenchFacts,
  job: JobState,
  canvas: Canvas,
): PageContent => {
  const here = jobNow(facts, job);
  return contentOf(here, session, promptNow(here), canvas, page);
};
