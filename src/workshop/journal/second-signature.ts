import { isLookVerb } from '../../job/verbs.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { wrong, type Fault } from '../../fault/fault.ts';
import type { JournalLine } from '../../proof/line.ts';
import { signerOf } from '../../proof/signers.ts';
import { linePlace } from '../../store/layout.ts';
import { asAnswer, readAnswer } from '../answers.ts';
import type { PublicKeyReader } from './public-keys.ts';
import { signersOf } from './signers-text.ts';

/** Whether the person signed this answer to this hold, with any key that was ever theirs. What they inspected is checked by `verify`. */
const isTheirs = (state: BuildState, line: JournalLine, person: string, read: PublicKeyReader): boolean => {
  const { answer: text, 'answer-sig': signature, step } = line.data;
  if (typeof text !== 'string' || typeof signature !== 'string') return false;
  const answer = readAnswer(text);
  if (!answer.ok) return false;
  const { value } = answer;
  const names = value.build === state.build && value.job === line.job && value.step === step && value.person === person;
  if (!names || value.answer !== line.type) return false;
  const signer = signerOf(signature, text, asAnswer.namespace, signersOf(state, read));
  return signer.ok && signer.value.person === person;
};

/**
 * An answer to a hold that one person enters for a second person is believed only with the second person's own signature.
 * Otherwise whoever performed the work could write that it was inspected. Code `answer-false`.
 */
export const unsignedAnswerFault = (state: BuildState, line: JournalLine, read: PublicKeyReader): Fault | undefined => {
  const { person } = line.data;
  if (!isLookVerb(line.type) || typeof person !== 'string' || person === line.by) return undefined;
  if (isTheirs(state, line, person, read)) return undefined;
  return wrong(
    'answer-false',
    `${line.by} wrote a ${line.type} in the name of ${person}, who did not sign that`,
    'Look at who wrote this line; a second person signs what they say of a hold',
    linePlace(line),
  );
};
