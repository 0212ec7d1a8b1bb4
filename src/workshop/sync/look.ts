import { openContradictions } from '../../aircraft/state.ts';
import { err, ok, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import { noticeLine } from '../../store/disk-fault.ts';
import { refreshSigners } from '../opening/open.ts';
import type { Workplace } from '../place.ts';
import { openWorkshop } from '../workshop.ts';

/** A state that was read whole and is sound. */
export interface Looked {
  readonly told: readonly string[];
  /** Brings `allowed_signers` up to date on this disk. */
  readonly refresh: (disk: Disk) => Outcome<void>;
}

/** Reads and proves a state. Damage is a fault, so that it does not spread; contradictions are listed. */
export const lookAt = (place: Workplace): Outcome<Looked> => {
  const opened = openWorkshop(place, 'read');
  if (!opened.ok) return opened;
  const { value: workshop } = opened;
  try {
    const closed = workshop.closed();
    if (closed) return err(closed);
    const { openState } = workshop;
    const contradictions = openContradictions(workshop.state());
    return ok({
      told: [
        ...workshop.notices().map(noticeLine),
        ...contradictions.map(({ entry, why }) => `contradiction to be settled, ${entry.id}: ${why}`),
      ],
      refresh: (disk) => refreshSigners({ ...openState, place: { ...place, disk } }),
    });
  } finally {
    workshop.close();
  }
};
