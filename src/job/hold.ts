import type { Hold, Step } from '../procedure/model.ts';
import type { Plan } from '../procedure/plan.ts';
import type { Finding, JobState, Look } from './state.ts';
import { stepStateOf } from './step-state.ts';
import { own } from '../fault/own.ts';

/** The powers that allow a look: at a hold point its own power alone; at a witness point also any power to inspect. */
export const powersToLook = ({ kind, by }: { readonly kind: Hold['kind']; readonly by: string }): readonly string[] =>
  kind === 'witness' ? ['witness', by, 'inspector'] : [by];

/** The steps that a hold inspects: those that it names, else all since the last hold point. */
export const inspectedSteps = (plan: Plan, hold: Step): readonly Step[] => {
  const index = plan.steps.indexOf(hold);
  const named = hold.hold?.of;
  if (named) return plan.steps.filter((step) => named.includes(step.step));
  const last = plan.steps.findLastIndex((step, at) => at < index && step.hold?.kind === 'hold');
  return plan.steps.slice(last + 1, index);
};

/** The holds of a plan that inspect any of these steps. */
export const holdsOver = (plan: Plan, steps: readonly string[]): readonly Step[] =>
  plan.steps.filter((step) => step.hold && inspectedSteps(plan, step).some((seen) => steps.includes(seen.step)));

/** Everybody who performed any of these steps, helpers included. */
export const performersOf = (job: JobState, steps: readonly Step[]): readonly string[] => [
  ...new Set(steps.flatMap((step) => stepStateOf(job, step.step).performers)),
];

/** The part of a person that says whether they are also somebody else. */
export interface Following {
  readonly person: string;
  readonly follows?: string | undefined;
}

/** True where two ids are one person: one follows the other, or both follow a third. Nobody can inspect their own work by a second id. */
export const areOne = (people: readonly Following[], one: string, other: string): boolean => {
  const originOf = (person: string, seen: readonly string[] = []): string => {
    const follows = people.find((each) => each.person === person)?.follows;
    return follows === undefined || seen.includes(person) ? person : originOf(follows, [...seen, person]);
  };
  return originOf(one) === originOf(other);
};

export const looksAt = (job: JobState, hold: string): readonly Look[] => own(job.looks, hold) ?? [];

/** Of the looks at one hold, in order, the release that is in force: it is not voided, and no refusal follows it. */
export const releaseInForce = <L extends Pick<Look, 'kind' | 'voided'>>(looks: readonly L[]): L | undefined => {
  const last = looks.findLast(({ kind }) => kind === 'release' || kind === 'refuse');
  return last?.kind === 'release' && last.voided === undefined ? last : undefined;
};

export const standingRelease = (job: JobState, hold: string): Look | undefined => releaseInForce(looksAt(job, hold));

export const wasInvited = (job: JobState, hold: string): boolean =>
  looksAt(job, hold).some((look) => look.kind === 'invite');

/** Findings of a hold that no release has closed. */
export const openFindings = (job: JobState, hold: string): readonly Finding[] =>
  job.findings.filter((finding) => finding.step === hold && finding.closed === undefined);

export const unanswered = (job: JobState, hold: string): readonly Finding[] =>
  openFindings(job, hold).filter((finding) => finding.answers.length === 0);

/**
 * Hash of the last entry that touched what a hold inspects, or its findings. A logged temperature does not change it, so an answer on its
 * way stays good.
 */
export const inspectionHead = (job: JobState, hold: Step): string => {
  const seen = [...inspectedSteps(job.plan, hold), hold].map((step) => stepStateOf(job, step.step).touched);
  return seen.reduce((last, next) => (next && (!last || next.order > last.order) ? next : last), undefined)?.hash ?? '';
};
