import type { Struck } from '../job/stamp.ts';
import { calculatedRecorded } from './calculated.ts';
import type { RecordStruck } from './shapes.ts';
import { present, recordStampOf } from './plain.ts';

/** Values that corrections struck, each with its own person and time. */
export const struckOf = (struck: readonly Struck[]): readonly RecordStruck[] =>
  struck.map((one) =>
    present({
      value: one.value,
      calculated: calculatedRecorded(one.calculated),
      ...recordStampOf(one),
      reason: one.reason,
      'struck-by': one.struckBy,
      'struck-at': one.struckAt,
      'struck-entry': one.struckEntry,
    }),
  );
