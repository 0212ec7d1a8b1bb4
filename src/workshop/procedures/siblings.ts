import { ok, type Outcome } from '../../fault/fault.ts';
import type { Procedure } from '../../procedure/model.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { procedureFiles, unreadProcedure } from './procedures.ts';

export interface Siblings {
  /** All procedures of a folder that can be read, even where they break rules of the trade. */
  readonly procedures: readonly Procedure[];
  /** The other files, each with the reason. */
  readonly passedOver: readonly { readonly file: string; readonly what: string }[];
}

/** Reads a procedures folder up to a bounded size. Files that cannot be read are listed with the reason. */
export const siblingsIn = (folder: string): Outcome<Siblings> => {
  const read = onDisk(folder, () => procedureFiles(folder, false));
  if (!read.ok) return read;
  return ok({
    procedures: read.value.flatMap(({ procedure }) => procedure ?? []),
    passedOver: read.value
      .filter(({ procedure }) => procedure === undefined)
      .map(({ path, messages }) => ({ file: path, what: unreadProcedure(path, messages).what })),
  });
};
