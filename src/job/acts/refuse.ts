import { stampOf, type JobDraft } from '../draft.ts';
import { powersToLook } from '../hold.ts';
import { orderRefusals } from '../refusals/order.ts';
import { powerRefusals } from '../refusals/power.ts';
import { nothingOpen, takeUnless, type Act, type Foreseen, type Intended } from './act.ts';
import { holdAhead, holdAsked, keepLook } from './hold-asked.ts';
import { notCorrected } from './correctable.ts';

/**
 * The number for a finding: the wanted one, unless the job already has a finding with that number, written at the same time on another
 * machine; then the next free one.
 */
const freeNumber = ({ findings }: JobDraft, wanted: number | undefined): number =>
  wanted === undefined || findings.some(({ number }) => number === wanted)
    ? Math.max(0, ...findings.map(({ number }) => number)) + 1
    : wanted;

/** Somebody who performed the work may find something wrong with it, so only the power is asked for. */
const foresee = (intended: Intended<'refuse'>): Foreseen => {
  const asked = holdAhead(intended)?.asked;
  if (!asked) return { step: undefined, refusals: [] };
  const { step, hold, looker } = asked;
  const powers = intended.open.has('by') ? [] : powerRefusals(looker, powersToLook(hold), 'refuse it', intended.moment);
  return { step, refusals: [...orderRefusals(intended.job, step), ...powers] };
};

/** Refuses a hold, with numbered findings. */
export const refuseAct: Act<'refuse'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    if (!asked.ok) return asked;
    const first = Math.max(0, ...ask.job.findings.map((finding) => finding.number)) + 1;
    const numbers = ask.data.findings.map((_, index) => first + index);
    const { step, refusals } = foresee({ ...ask, open: nothingOpen });
    return takeUnless(ask, step, refusals, { data: { numbers }, told: [`findings ${numbers.join(', ')}`] });
  },
  foresee,
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
