import { refusalNamed, type Fault } from '../fault/fault.ts';

/** What somebody elsewhere signs with plain `ssh-keygen`, and another brings back. */
export interface CarriedKind {
  readonly what: 'answer' | 'invitation';
  /** What it is signed for. */
  readonly namespace: string;
}

/** Why its signature does not do, by a name of its own: `answer-namespace`, `invitation-key` and the like. @param rightKey what to do about a key. */
export const carriedFault = ({ what, namespace }: CarriedKind, fault: Fault, rightKey: string): Fault => {
  if (fault.code === 'signature-namespace')
    return refusalNamed(
      `${what}-namespace`,
      `the ${what} is ${fault.what}`,
      `sign it with: ssh-keygen -Y sign -n ${namespace}`,
    );
  if (fault.code === 'signature-key') return refusalNamed(`${what}-key`, `the ${what} is ${fault.what}`, rightKey);
  return refusalNamed(`${what}-signature`, `the signature of the ${what} is not good: ${fault.what}`, fault.todo);
};
