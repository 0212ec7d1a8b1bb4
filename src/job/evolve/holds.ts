import { stepOf } from '../../procedure/plan.ts';
import { listOf, textOf, wholeOf, type Entry } from '../entry.ts';
import { inspectedSteps, performersOf } from '../hold.ts';
import type { JobState, Look } from '../state.ts';
import { drawer, stampOf, stepDraft, touch, type JobDraft } from './draft.ts';

const lookOf = (entry: Entry, kind: Look['kind'], findings: number[], self: boolean): Look & { findings: number[] } => {
  const optional = (key: string, name: string): Record<string, string> => {
    const text = textOf(entry.data, key);
    return text === undefined ? {} : { [name]: text };
  };
  return {
    ...stampOf(entry),
    kind,
    person: textOf(entry.data, 'person') ?? entry.by,
    remote: entry.data['remote'] === true,
    self,
    findings,
    ...optional('remark', 'remark'),
    ...optional('who', 'who'),
    ...optional('how', 'how'),
    ...optional('answer', 'answer'),
    ...optional('answer-sig', 'signature'),
  };
};

const push = (draft: JobDraft, step: string, look: Look & { findings: number[] }, entry: Entry): void => {
  drawer(draft.looks, step, () => []).push(look);
  const state = stepDraft(draft, step);
  state.begun ??= { ...stampOf(entry), explicit: false };
  touch(draft, step, entry);
};

/** Their own work, by their own id; or as it was decided, of somebody who did it under another. */
const isSelf = (job: JobState, step: string, person: string, entry: Entry): boolean => {
  if (entry.data['self'] === true) return true;
  const hold = stepOf(job.plan, step);
  return hold !== undefined && performersOf(job, inspectedSteps(job.plan, hold)).includes(person);
};

/** A release after the last answer is itself the looking again: it closes every answered finding. */
export const evolveRelease = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const step = textOf(entry.data, 'step') ?? '';
  const closed = draft.findings.filter((finding) => finding.step === step && !finding.closed);
  for (const finding of closed) finding.closed = stampOf(entry);
  const person = textOf(entry.data, 'person') ?? entry.by;
  push(
    draft,
    step,
    lookOf(
      entry,
      'release',
      closed.map((finding) => finding.number),
      isSelf(job, step, person, entry),
    ),
    entry,
  );
};

/** The number that a finding was given, unless another one, written at the same time, has it here already: then the next. */
const freeNumber = ({ findings }: JobDraft, wanted: number | undefined): number =>
  wanted === undefined || findings.some(({ number }) => number === wanted)
    ? Math.max(0, ...findings.map(({ number }) => number)) + 1
    : wanted;

export const evolveRefuse = (draft: JobDraft, entry: Entry): void => {
  const step = textOf(entry.data, 'step') ?? '';
  const numbers = Array.isArray(entry.data['numbers'])
    ? entry.data['numbers'].filter((one) => typeof one === 'number')
    : [];
  const person = textOf(entry.data, 'person') ?? entry.by;
  const given = listOf(entry.data, 'findings').map((text, index) => {
    const number = freeNumber(draft, numbers[index]);
    draft.findings.push({ ...stampOf(entry), number, step, person, text, answers: [] });
    return number;
  });
  push(draft, step, lookOf(entry, 'refuse', given, false), entry);
};

export const evolveReinspect = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const step = textOf(entry.data, 'step') ?? '';
  push(
    draft,
    step,
    lookOf(entry, 'reinspect', [], isSelf(job, step, textOf(entry.data, 'person') ?? entry.by, entry)),
    entry,
  );
};

export const evolveInvite = (draft: JobDraft, entry: Entry): void => {
  const step = textOf(entry.data, 'step') ?? '';
  drawer(draft.looks, step, () => []).push(lookOf(entry, 'invite', [], false));
  touch(draft, step, entry);
};

export const evolveAnswer = (draft: JobDraft, entry: Entry): void => {
  const finding = draft.findings.find((one) => one.number === wholeOf(entry.data, 'finding'));
  if (!finding) return;
  finding.answers.push({ ...stampOf(entry), remark: textOf(entry.data, 'remark') ?? '' });
  const state = stepDraft(draft, finding.step);
  if (!state.performers.includes(entry.by)) state.performers.push(entry.by);
  touch(draft, finding.step, entry);
};
