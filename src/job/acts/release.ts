import { err, refusal, usage, type Fault } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { unanswered } from '../hold.ts';
import { takeUnless, type Act, type Ask } from './act.ts';
import { holdAsked, isOwnWork, keepLook, lookRefusals } from './hold-asked.ts';
import { notCorrected } from './correctable.ts';

const ofRemote = [
  ['shown', 'what was shown'],
  ['not-judged', 'what could not be judged'],
] as const;

type RemoteSaid = Pick<Ask<'release'>['data'], 'remote' | (typeof ofRemote)[number][0]>;

/** A look from elsewhere says what was shown and what could not be judged; a look on the spot says neither. */
export const remoteLookFault = (data: RemoteSaid): Fault | undefined => {
  for (const [field, about] of ofRemote) {
    const isGiven = data[field] !== undefined;
    if (data.remote === true && !isGiven)
      return usage('field-missing', `release: a remote release needs ${field}`, `give ${field}: ${about}`);
    if (data.remote !== true && isGiven)
      return usage('field-missing', `release: ${field} belongs to a remote release`, 'add remote=true, or use remark');
  }
  return undefined;
};

/** Releases a hold. A release after the last answer is also the second look, and closes every answered finding. */
export const releaseAct: Act<'release'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    if (!asked.ok) return asked;
    const { step, hold } = asked.value;
    const isTooFar = ask.data.remote === true && !hold.remote;
    const fault = isTooFar ? undefined : remoteLookFault(ask.data);
    if (fault) return err(fault);
    const isSelf = isOwnWork(ask, asked.value);
    const mayNotLook = lookRefusals(ask, asked.value);
    const refusals = [
      ...mayNotLook,
      ...unanswered(ask.job, step.step).map((finding) =>
        refusal(
          'finding-open',
          `finding ${finding.number} is not answered: ${finding.text}`,
          `answer it (answer ${finding.number})`,
        ),
      ),
      ...(isSelf && mayNotLook.length === 0 && ask.data.reason === undefined
        ? [
            refusal(
              'reason-missing',
              `${asked.value.looker} performed what ${step.step} inspects: the re-inspection needs its reason`,
              'give reason: why nobody else looks',
            ),
          ]
        : []),
      ...(isTooFar
        ? [refusal('hold-closed', `${step.step} is not released from elsewhere`, 'the inspector looks in person')]
        : []),
    ];
    return takeUnless(ask, step, refusals, { data: isSelf ? { self: true } : {} });
  },
  evolve: (draft, entry, job) => {
    const { step, remark, remote, shown, 'not-judged': notJudged, reason } = entry.data;
    const closed = draft.findings.filter((finding) => finding.step === step && !finding.closed);
    for (const finding of closed) finding.closed = stampOf(entry);
    const findings = closed.map(({ number }) => number);
    keepLook(draft, entry, job, { remark, isRemote: remote, shown, notJudged, reason, findings });
  },
  words: () => 'hold released',
  correct: notCorrected(
    'what was signed stays as it was signed: look again and release anew, or refuse it; a remark may be added',
  ),
};
