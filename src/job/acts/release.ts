import { refusal } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { unanswered } from '../hold.ts';
import { takeUnless, type Act } from './act.ts';
import { holdAsked, isOwnWork, keepLook, lookRefusals } from './hold-asked.ts';

/** Releases a hold. A release after the last answer is also the second look, and closes every answered finding. */
export const releaseAct: Act<'release'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    if (!asked.ok) return asked;
    const { step, hold } = asked.value;
    const isTooFar = ask.data.remote === true && !hold.remote;
    const refusals = [
      ...lookRefusals(ask, asked.value),
      ...unanswered(ask.job, step.step).map((finding) =>
        refusal(
          'finding-open',
          `finding ${finding.number} is not answered: ${finding.text}`,
          `answer it (answer ${finding.number})`,
        ),
      ),
      ...(isTooFar
        ? [refusal('hold-closed', `${step.step} is not released from elsewhere`, 'the inspector looks in person')]
        : []),
    ];
    return takeUnless(ask, step, refusals, { data: isOwnWork(ask, asked.value) ? { self: true } : {} });
  },
  evolve: (draft, entry, job) => {
    const { step, remark, remote } = entry.data;
    const closed = draft.findings.filter((finding) => finding.step === step && !finding.closed);
    for (const finding of closed) finding.closed = stampOf(entry);
    const findings = closed.map(({ number }) => number);
    keepLook(draft, entry, job, { remark, isRemote: remote, findings });
  },
  words: () => 'hold released',
};
