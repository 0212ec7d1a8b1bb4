import { stampOf, type JobDraft } from '../draft.ts';
import { powersToLook } from '../hold.ts';
import { orderRefusals } from '../refusals/order.ts';
import { powerRefusals } from '../refusals/power.ts';
import { takeUnless, type Act } from './act.ts';
import { holdAsked, keepLook } from './hold-asked.ts';
import { notCorrected } from './correctable.ts';

/**
 * The number for a finding: the wanted one, unless the job already has a finding with that number, written at the same time on another
 * machine; then the next free one.
 */
const freeNumber = ({ findings }: JobDraft, wanted: number | undefined): number =>
  wanted === undefined || findings.some(({ number }) => number === wanted)
    ? Math.max(0, ...findings.map(({ number }) => number)) + 1
    : wanted;

/** Refuses a hold, with numbered findings. */
export const refuseAct: Act<'refuse'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    if (!asked.ok) return asked;
    const { step, hold, looker } = asked.value;
    const first = Math.max(0, ...ask.job.findings.map((finding) => finding.number)) + 1;
    const numbers = ask.data.findings.map((_, index) => first + index);
    const refusals = [
      ...orderRefusals(ask.job, step),
      ...powerRefusals(looker, powersToLook(hold), 'refuse it', ask.moment),
    ];
    return takeUnless(ask, step, refusals, { data: { numbers }, told: [`findings ${numbers.join(', ')}`] });
  },
  evolve: (draft, entry, job) => {
    const { step, person = entry.by, findings, numbers } = entry.data;
    const given = findings.map((text, index) => {
      const number = freeNumber(draft, numbers[index]);
      draft.findings.push({ ...stampOf(entry), number, step, person, text, answers: [] });
      return number;
    });
    keepLook(draft, entry, job, { findings: given });
  },
  words: () => 'hold refused, with findings',
  correct: notCorrected('a refusal stays: answer its findings, and look again; a remark may be added'),
};
