import type { CarriedKind } from '../aircraft/carried.ts';
import { asUsage, err, ok, refusalNamed, type Outcome } from '../fault/fault.ts';
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
  if (signature.ok) return ok({ text: text.value, signature: signature.value });
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
