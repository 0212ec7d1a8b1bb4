import { refusalNamed, type Fault } from '../fault/fault.ts';

/** A kind of file that somebody elsewhere signs with plain `ssh-keygen` and another person brings back. */
export interface CarriedKind {
  readonly what: 'answer' | 'invitation';
  /** The signature's namespace, so that a signature made for one purpose does not serve another. */
  readonly namespace: string;
}

/**
 * Why the signature of a carried file is refused. The code names the kind of file: `answer-namespace`, `invitation-key`.
 * @param rightKey what the person should do where the wrong key signed.
 */
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
