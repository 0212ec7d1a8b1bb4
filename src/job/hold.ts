import type { Hold, Step } from '../procedure/model.ts';
import type { Plan } from '../procedure/plan.ts';
import { idsOrNames, type Known } from './people.ts';
import type { Finding, Look } from './judged.ts';
import type { JobState } from './state.ts';
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

/**
 * Everybody who performed what a hold inspects, helpers included, by the names that were typed. Whoever answered a finding about that work
 * is one of them.
 */
export const namedPerformers = (job: JobState, hold: Step): readonly string[] => {
  const seen = inspectedSteps(job.plan, hold);
  const ids = seen.map(({ step }) => step);
  const holds = new Set([hold, ...holdsOver(job.plan, ids)].map(({ step }) => step));
  const answered = job.findings.filter(({ step }) => holds.has(step)).flatMap(({ answers }) => answers);
  return [...new Set([...ids.flatMap((id) => stepStateOf(job, id).performers), ...answered.map(({ by }) => by)])];
};

/** The same, each by their id where the build knows them, else by the name that was typed. */
export const performersOf = (people: readonly Known[], job: JobState, hold: Step): readonly string[] =>
  idsOrNames(people, namedPerformers(job, hold));

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
