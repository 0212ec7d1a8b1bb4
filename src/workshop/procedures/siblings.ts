import { ok, type Outcome } from '../../fault/fault.ts';
import { printMessage } from '../../procedure/message.ts';
import type { Procedure } from '../../procedure/model.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { procedureFiles } from './procedures.ts';

export interface Siblings {
  /** All procedures of a folder that can be read, whatever the trade has to say of them. */
  readonly procedures: readonly Procedure[];
  /** The others, each with the reason. */
  readonly passedOver: readonly { readonly file: string; readonly what: string }[];
}

/** What lies in a procedures folder; the size is bounded, and what cannot be read is passed over and named. */
export const siblingsIn = (folder: string): Outcome<Siblings> => {
  const read = onDisk(folder, () => procedureFiles(folder, false));
  if (!read.ok) return read;
  return ok({
    procedures: read.value.flatMap(({ procedure }) => procedure ?? []),
    passedOver: read.value
      .filter(({ procedure }) => procedure === undefined)
      .map(({ path, messages }) => {
        const first = messages.find(({ level }) => level === 'error');
        return { file: path, what: first === undefined ? `${path} holds no procedure` : printMessage(first) };
      }),
  });
};
