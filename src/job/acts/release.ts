import { err, refusal, usage, type Fault } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { unanswered } from '../hold.ts';
import { nothingOpen, takeUnless, type Act, type Ask, type Foreseen, type Intended } from './act.ts';
import { holdAhead, holdAsked, isOwnWork, keepLook } from './hold-asked.ts';
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

const foresee = (intended: Intended<'release'>): Foreseen => {
  const { job, data, open } = intended;
  const ahead = holdAhead(intended);
  if (!ahead) return { step: undefined, refusals: [] };
  const { step, hold, looker } = ahead.asked;
  const isSelf = ahead.mayNotLook.length === 0 && !open.has('by') && isOwnWork(intended, ahead.asked);
  return {
    step,
    refusals: [
      ...ahead.mayNotLook,
      ...unanswered(job, step.step).map((finding) =>
        refusal(
          'finding-open',
          `finding ${finding.number} is not answered: ${finding.text}`,
          `answer it (answer ${finding.number})`,
        ),
      ),
      ...(isSelf && data.reason === undefined && !open.has('reason')
        ? [
            refusal(
              'reason-missing',
              `${looker} performed what ${step.step} inspects: the re-inspection needs its reason`,
              'give reason: why nobody else looks',
            ),
          ]
        : []),
      ...(data.remote === true && !hold.remote
        ? [refusal('hold-closed', `${step.step} is not released from elsewhere`, 'the inspector looks in person')]
        : []),
    ],
  };
};

/** Releases a hold. A release after the last answer is also the second look, and closes every answered finding. */
export const releaseAct: Act<'release'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    if (!asked.ok) return asked;
    const { step, hold } = asked.value;
    const fault = ask.data.remote === true && !hold.remote ? undefined : remoteLookFault(ask.data);
    if (fault) return err(fault);
    const { refusals } = foresee({ ...ask, open: nothingOpen });
    return takeUnless(ask, step, refusals, { data: isOwnWork(ask, asked.value) ? { self: true } : {} });
  },
  foresee,
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
