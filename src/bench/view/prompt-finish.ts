import type { Step } from '../../procedure/model.ts';
import { sheetFor } from '../../job/gate.ts';
import { separateKeys, type OwnKey } from '../keys.ts';
import { countdown, spokenTime } from '../drawing/clock.ts';
import { largeClock } from '../drawing/digits.ts';
import { paragraphRows, span, type Row } from '../drawing/rows.ts';
import type { PromptOf } from '../session/prompt.ts';
import { potLifeFor } from '../session/pot-life.ts';
import type { Session } from '../session/state.ts';
import { cardText } from './card.ts';
import { wouldRefuse } from './forecast.ts';
import { cureWork } from '../parts/cure-rows.ts';
import { valuesOfStep } from '../parts/parts.ts';
import { twinsOf } from '../parts/twin-rows.ts';
import { mapRows } from '../parts/tighten-rows.ts';
import { waitEnds } from '../parts/wait.ts';
import type { JobNow } from '../job-now.ts';
import { gateRows } from './gate.ts';
import { backHint, hint, marked, menuHint, title, type Canvas, type Hint, type PageContent } from './page.ts';
import { stepText } from './step.ts';
import { faultRows, answerRows } from './answer.ts';

/** A large clock that runs down: the pot life of the open step, or what is left of its wait. */
const runningClock = (
  here: JobNow,
  step: Step,
  canvas: Canvas,
): { readonly rows: readonly Row[]; readonly seconds: boolean } => {
  const { facts } = here;
  const life = step.inPotLifeOf.length > 0 ? potLifeFor(here) : undefined;
  if (life) {
    const left = life.ends - facts.now.ms;
    const rows = [
      ...largeClock(countdown(left), canvas.marks, left < 10 * 60_000 ? 'outside' : 'strong'),
      [span(`pot life of ${life.batch}, to ${spokenTime(life.ends, facts.now.ms, facts.now.offset)}`, 'quiet')] as Row,
    ];
    return { rows, seconds: left > 0 };
  }
  const until = waitEnds(here, step);
  if (until === undefined) return { rows: [], seconds: false };
  const left = until - facts.now.ms;
  return {
    rows: [
      ...largeClock(countdown(left), canvas.marks, 'strong'),
      [span(`wait, until ${spokenTime(until, facts.now.ms, facts.now.offset)}`, 'quiet')],
    ],
    seconds: left < 60 * 60_000,
  };
};

/** The sheet of the gate that the step passes, shown before the finish is pressed. */
const gateAhead = ({ job, around }: JobNow, step: Step, canvas: Canvas): readonly Row[] =>
  step.gate === undefined
    ? []
    : [[span(`gate ${step.gate}`, 'strong')] as Row, ...gateRows(sheetFor(job, step, step.gate, around), canvas)];

/** Everything is entered: the person finishes the step, and is shown first what would refuse that. */
export const contentOfFinish = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'finish'>,
  canvas: Canvas,
): PageContent => {
  const { step } = prompt;
  const values = valuesOfStep(here, step, canvas);
  const refused = wouldRefuse(here, session.by ?? '', 'finish', { step: step.step });
  const clock = runningClock(here, step, canvas);
  const answer = answerRows(session.answer, canvas.marks, canvas.width, here.facts.now);
  const cure = step.cure ? cureWork(here, step, canvas) : [];
  return {
    text: [
      ...stepText(here.job, step, canvas),
      ...values,
      ...twinsOf(here, step, canvas),
      ...gateAhead(here, step, canvas),
    ],
    work: [...cure, ...(clock.rows.length > 0 ? clock.rows : mapRows(here, step, undefined, canvas))],
    said:
      armedRows(session, prompt.own, canvas) ??
      (refused ? faultRows(refused, canvas.marks, canvas.width, here.facts.now) : answer),
    hints: [...(prompt.own ? ownHints(session, prompt.own, 'finish') : [hint('enter', 'finish')]), menuHint, backHint],
    seconds: clock.seconds,
  };
};

/** How an own key that is pressed twice is named: `b b: begin`, and after the first press `b: begin now`. */
const ownHints = (session: Session, own: OwnKey, does: string): readonly Hint[] => {
  const { key } = separateKeys[own];
  return [session.armed?.own === own ? hint(key, `${does} now`) : hint(`${key} ${key}`, does)];
};

/** After the first press: what the second one does. */
const armedRows = (session: Session, own: OwnKey | undefined, { marks, width }: Canvas): readonly Row[] | undefined => {
  if (own === undefined || session.armed?.own !== own) return undefined;
  const { key, does } = separateKeys[own];
  return marked(marks.attention, `${key} once more ${does}. Any other key: not yet.`, width, 'person');
};

/** Before a permanent step: the card, read before the glue is on. */
export const contentOfCard = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'card'>,
  canvas: Canvas,
): PageContent => {
  const refused = prompt.refused?.fault;
  return {
    text: cardText(here, prompt.step, prompt.commits, prompt.helpers, canvas),
    work: [],
    said:
      armedRows(session, 'begin', canvas) ??
      (refused
        ? faultRows(refused, canvas.marks, canvas.width, here.facts.now)
        : answerRows(session.answer, canvas.marks, canvas.width, here.facts.now)),
    hints: [...ownHints(session, 'begin', 'begin'), menuHint, backHint],
  };
};

/** The values of a fastener are entered: its torque mark is an act of its own. */
export const contentOfMark = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'mark'>,
  canvas: Canvas,
): PageContent => ({
  text: stepText(here.job, prompt.step, canvas),
  work: [
    ...mapRows(here, prompt.step, prompt.fastener, canvas),
    [span(`Put the torque mark on fastener ${prompt.fastener}`, 'strong')],
  ],
  said: answerRows(session.answer, canvas.marks, canvas.width, here.facts.now),
  hints: [hint(separateKeys.mark.key, 'the mark is on'), menuHint, backHint],
});

/** Every step is finished; completing signs the record. */
export const contentOfComplete = (
  here: JobNow,
  session: Session,
  _prompt: PromptOf<'complete'>,
  canvas: Canvas,
): PageContent => {
  const refused = wouldRefuse(here, session.by ?? '', 'complete', {});
  const { width, marks } = canvas;
  return {
    text: [
      ...title('Every step is finished.', width),
      ...paragraphRows('Completing signs the record and writes it.', width),
    ],
    work: [],
    said: refused
      ? faultRows(refused, marks, width, here.facts.now)
      : answerRows(session.answer, marks, width, here.facts.now),
    hints: [hint('enter', 'complete the job'), menuHint, backHint],
  };
};
