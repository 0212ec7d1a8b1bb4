import { nameOf } from '../../aircraft/state.ts';
import { nonconformances } from '../../job/nonconformances.ts';
import type { JobState } from '../../job/state.ts';
import { isClosed, isWithdrawn } from '../../job/where.ts';
import type { Step } from '../../procedure/model.ts';
import type { Marks } from '../drawing/marks.ts';
import { rivetLine, type Rivet } from '../drawing/rivets.ts';
import { mark, span, type Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { stepsNow, type StepNow } from '../steps-now.ts';
import type { Session } from '../session/state.ts';

export const personName = (facts: BenchFacts, person: string | undefined): string =>
  person === undefined ? '' : (nameOf(facts.build, person) ?? person);

export const jobName = (job: JobState): string =>
  job.side === undefined ? job.procedure : `${job.procedure} ${job.side}`;

/** Who is signed on, at the right of the first row of every page. */
export const signedOn = (facts: BenchFacts, session: Session): Row => [span(personName(facts, session.by), 'quiet')];

const openRivet = (step: Step, cures: readonly string[]): Rivet => {
  if (step.hold) return 'holdShut';
  if (cures.includes(step.step)) return 'cure';
  return step.permanent ? 'permanentOpen' : 'open';
};

const doneRivet = (step: Step): Rivet => (step.hold ? 'holdReleased' : step.permanent ? 'permanentDone' : 'driven');

const rivetOf = ({ step, is, isTroubled }: StepNow, cures: readonly string[], owed: ReadonlySet<string>): Rivet => {
  if (is === 'left') return 'left';
  if (owed.has(step.step) || isTroubled) return 'outside';
  if (is === 'done') return cures.includes(step.step) ? 'cure' : doneRivet(step);
  if (is === 'open') return openRivet(step, cures);
  return step.hold ? 'holdShut' : cures.includes(step.step) ? 'cure' : step.permanent ? 'permanentOpen' : 'todo';
};

/** The rivet line of a job, and the same in words: `7 of 12, open`. */
export const rivetsOf = (
  { job, around, cures }: JobNow,
  marks: Marks,
  width: number,
): { readonly line: Row; readonly place: Row } => {
  const curing = cures().map((one) => one.step.step);
  const owed = new Set(
    nonconformances(job, around)
      .filter((one) => one.open)
      .map((one) => one.step),
  );
  const { steps, open, at, place } = stepsNow(job);
  const { number, count } = place;
  const words = isWithdrawn(job)
    ? 'withdrawn'
    : isClosed(job)
      ? `${count} steps, complete`
      : open
        ? `${number} of ${count}, open`
        : `${count} of ${count}, all finished`;
  return {
    line: rivetLine(
      steps.map((one) => rivetOf(one, curing, owed)),
      at,
      marks,
      Math.max(8, width - words.length - 2),
    ),
    place: [mark(words)],
  };
};
