import type { Step } from '../procedure/model.ts';
import type { Surroundings, OpenThing } from './surroundings.ts';
import { isOpenItem, leftOpen } from './loose.ts';
import { nonconformances } from './nonconformances.ts';
import type { JobState } from './state.ts';

/** True where something due before the gate `due` must be closed before `gate` is passed: the same gate, or an earlier one. */
export const isDueBefore = (gates: readonly string[], due: string, gate: string): boolean => {
  if (due === gate) return true;
  const [at, of] = [gates.indexOf(gate), gates.indexOf(due)];
  return at !== -1 && of !== -1 && of < at;
};

/** What is open in one job before a gate: loose items due by then, nonconformances, findings, samples not yet broken. */
export const openInJob = (job: JobState, gate: string, around: Surroundings): readonly OpenThing[] => [
  ...job.loose
    .filter((item) => isOpenItem(item) && isDueBefore(around.gates, item.before, gate))
    .map((item) => ({
      what: `${item.tag} ${item.item}, ${leftOpen(item)} ${item.left}`,
      job: job.id,
      gate: item.before,
      item: item.item,
    })),
  ...nonconformances(job, around)
    .filter((one) => one.open)
    .map((one) => ({ what: one.what, job: job.id })),
  ...job.findings
    .filter((finding) => finding.closed === undefined)
    .map((finding) => ({ what: `finding ${finding.number}: ${finding.text}`, job: job.id })),
  ...job.batches
    .filter((batch) => batch.sample && !batch.sample.broken && !batch.discarded && batch.superseded === undefined)
    .map((batch) => ({ what: `the sample ${batch.sample?.id ?? ''} is not broken yet`, job: job.id })),
];

/** What is open before the gate that a step passes, except what the step itself closes. */
export const openBefore = (job: JobState, step: Step, gate: string, around: Surroundings): readonly OpenThing[] => [
  ...openInJob(job, gate, around).filter((one) => !(one.item !== undefined && step.closes.includes(one.item))),
  ...around.openElsewhere(gate).filter((one) => !(one.item !== undefined && step.closes.includes(one.item))),
];
