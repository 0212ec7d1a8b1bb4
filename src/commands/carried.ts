import type { CarriedKind } from '../aircraft/carried.ts';
import { asUsage, err, ok, refusalNamed, type Outcome } from '../fault/fault.ts';
import { readSignatureText } from '../proof/sshsig.ts';
import { readText } from '../store/read-file.ts';
import { fromHere } from './folders.ts';
import type { OpenedWorkshop } from './open.ts';
import type { Call } from './spec.ts';

/** A file that somebody elsewhere has signed, and their signature. */
export interface CarriedFile {
  readonly text: string;
  readonly signature: string;
}

/** The largest text that is read, in bytes; room for more findings than anybody writes. */
const largest = 1024 * 1024;

/** Reads a file and the `.sig` beside it, as `ssh-keygen -Y sign` leaves them. Codes `answer-unsigned` and the like, `file-…`. */
export const readCarried = (
  call: Call,
  opened: OpenedWorkshop,
  typed: string,
  { what, namespace }: CarriedKind,
): Outcome<CarriedFile> => {
  const read = (name: string): Outcome<string> => {
    const path = fromHere(call.host.env, name);
    return asUsage(readText(opened.place.disk, path, { where: name, limit: largest, links: 'follow' }));
  };
  const text = read(typed);
  if (!text.ok) return text;
  const signature = read(`${typed}.sig`);
  if (signature.ok) {
    // A mail program may have put CRLF at the ends of lines. What is kept is as ssh-keygen wrote it.
    const written = signature.value.replaceAll('\r\n', '\n');
    const known = readSignatureText(written);
    // What cannot be read as a signature is refused where it is verified, by its own code.
    if (!known.ok || known.value.isAsWritten) return ok({ text: text.value, signature: written });
    return err(
      refusalNamed(
        `${what}-signature`,
        `${typed}.sig is not as ssh-keygen wrote it: white space or bytes outside the signature were changed`,
        'have the file sent again, or signed again',
      ),
    );
  }
  return signature.fault.code === 'file-missing'
    ? err(
        refusalNamed(
          `${what}-unsigned`,
          `the ${what} is not signed: there is no ${typed}.sig beside it`,
          `whoever says it signs it: ssh-keygen -Y sign -n ${namespace} -f KEY ${typed}`,
        ),
      )
    : signature;
};
